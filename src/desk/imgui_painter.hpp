// Figures on an ImGui draw list: the window's painter of the figures that the note shows too.
#pragma once

#include <imgui.h>

#include "desk/look.hpp"
#include "figure/laid_out.hpp"

namespace cranknote::desk {

/// Measures as ImguiPainter paints. The look must outlive it.
class ImguiMeasure : public figure::TextMeasure {
  public:
    explicit ImguiMeasure(const Look& look) : look_(look) {}
    figure::Size size_of(std::string_view text, const figure::TextStyle& style) override;
    double ascent_of(const figure::TextStyle& style) override;

  private:
    const Look& look_;
};

/// Paints with the figure's origin at `origin` of the screen.
class ImguiPainter final : public figure::Painter {
  public:
    ImguiPainter(ImDrawList& list, ImVec2 origin, const Look& look)
        : list_(list), origin_(origin), look_(look), measure_(look) {}

    figure::Size size_of(std::string_view text, const figure::TextStyle& style) override {
        return measure_.size_of(text, style);
    }
    double ascent_of(const figure::TextStyle& style) override { return measure_.ascent_of(style); }
    void polyline(const std::vector<figure::Point>& points, bool closed,
                  const figure::Stroke& stroke) override;
    void polygon(const std::vector<figure::Point>& points, figure::Colour fill) override;
    void strip(const std::vector<figure::Point>& upper, const std::vector<figure::Point>& lower,
               figure::Colour fill) override;
    void circle(figure::Point centre, double radius, const std::optional<figure::Colour>& fill,
                const std::optional<figure::Stroke>& stroke) override;
    void text(figure::Point at, std::string_view text, const figure::TextStyle& style) override;
    void picture(const figure::Box& box, const figure::Picture& picture) override;
    void clip(const figure::Box& box) override;
    void unclip() override;

  private:
    [[nodiscard]] ImVec2 at(figure::Point p) const {
        return {origin_.x + static_cast<float>(p.x), origin_.y + static_cast<float>(p.y)};
    }
    void dashed(const std::vector<figure::Point>& points, bool closed, const figure::Stroke& stroke);
    void stroke_points(ImU32 colour, bool closed, float width);

    ImDrawList& list_;
    ImVec2 origin_;
    const Look& look_;
    ImguiMeasure measure_;
    std::vector<ImVec2> points_;
    bool clipped_ = false;
};

}  // namespace cranknote::desk
