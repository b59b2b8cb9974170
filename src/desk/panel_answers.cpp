// Which part: suspects with what speaks for and against them, what to do next, what changed.
#include "desk/frame.hpp"
#include "desk/next_state.hpp"

namespace cranknote::desk {

namespace {

void evidence(Frame& f, const SuspectText& s) {
    auto& ui = f.ui;
    ImGui::Indent(ui.px(12));
    const auto list = [&](const char* mark, const std::vector<std::string>& sentences, Tone tone) {
        for (const auto& sentence : sentences) {
            const ImVec2 at = ImGui::GetCursorScreenPos();
            ui.line(at, mark, in(strong, tone));
            ImGui::Indent(ui.px(22));
            ui.say(sentence, body);
            ImGui::Unindent(ui.px(22));
        }
    };
    list("+", s.speaks_for, Tone::good_text);
    list("−", s.speaks_against, Tone::warn_text);
    if (s.speaks_for.empty() && s.speaks_against.empty())
        ui.say("Nothing speaks for or against it yet.", small);
    if (!s.tie.empty()) ui.say(s.tie, in(body, Tone::faint));
    ui.gap(4);
    if (!s.part.empty()) {
        if (ui.button("saw " + s.part, "I looked at it", Press::plain)) {
            f.view.saw_on = s.part;
            f.view.saw_text.clear();
            f.view.over = Over::saw;
        }
    }
    ImGui::Unindent(ui.px(12));
    ui.gap(8);
}

void suspect(Frame& f, const SuspectText& s, std::size_t number) {
    auto& ui = f.ui;
    const bool open = f.view.suspect == s.cause;
    const float width = ImGui::GetContentRegionAvail().x - ui.px(4);  // of the scroll bar
    const float percent = ui.measure("100 %", strong).x + ui.px(14);
    const auto size = ui.measure(s.cause, body, width - percent);
    const auto a = ui.area("suspect " + std::to_string(number), size.y + ui.px(28), open, width, ui.px(8));
    const ImVec2 after = ImGui::GetCursorPos();
    const ImVec2 at{a.from.x + ui.px(8), a.from.y + ui.px(7)};
    const auto number_size = ui.measure(s.percent, strong);
    ui.line({at.x + width - number_size.x, at.y}, s.percent, strong);
    ImGui::SetCursorScreenPos(at);
    ui.say(s.cause, open ? strong : body, width - percent);
    ui.bar({at.x, a.to.y - ui.px(12)}, width, ui.px(5), s.share,
           packed(ui.look.theme.colour(figure::Ink::doubt)));
    ImGui::SetCursorPos(after);
    if (a.hovered) f.view.lit_part = s.part;
    if (a.pressed) f.view.suspect = open ? "" : s.cause;
    if (open) evidence(f, s);
}

void suspects(Frame& f) {
    auto& ui = f.ui;
    if (f.texts.suspects.empty()) return;
    ui.heading("Which part");
    for (std::size_t i = 0; i < f.texts.suspects.size(); ++i) suspect(f, f.texts.suspects[i], i + 1);
    if (f.view.suspect.empty()) ui.say("Press one to see what speaks for and against it.", small);
    ui.gap(22);
}

void step(Frame& f, std::size_t i, bool first) {
    auto& ui = f.ui;
    const auto& s = f.texts.steps[i];
    ui.say(s.title, first ? strong : body);
    ui.say(s.effort, small);
    for (const auto& c : s.cautions) ui.say(c, in(small, Tone::warn_text));
    if (first && s.recordable) {
        ui.gap(4);
        if (ui.button("do step", "Do this next", Press::act)) {
            f.view.next = next_of_step(f.scene.verdict()->next_steps[i], f.view.next);
            f.view.shown.reset();
            f.view.page = Page::day;
        }
    }
    ui.gap(12);
}

void steps(Frame& f) {
    auto& ui = f.ui;
    if (!f.texts.advice.empty() || !f.texts.steps.empty()) ui.heading("What next");
    if (!f.texts.advice.empty()) {
        ui.say(f.texts.advice, body);
        ui.gap(10);
    }
    for (std::size_t i = 0; i < f.texts.steps.size() && i < 4; ++i) step(f, i, i == 0);
    ui.gap(14);
}

void finding_buttons(Frame& f, const FindingText& x) {
    auto& ui = f.ui;
    if (ui.button("hear " + x.id, "Hear it alone", Press::plain, 0, "X")) {
        f.view.alone = true;
        const Finding* found = nullptr;
        for (const auto& finding : f.scene.compared->comparison.findings)
            if (finding.id == x.id) found = &finding;
        if (found) f.out.push_back(ask::Play{false, "", std::pair{found->low, found->high}, true});
    }
    const std::string word = x.complaint ? "Marked" : "This is the noise";
    const float both = ui.button_width("Hear it alone", "X") + ui.px(8) + ui.button_width(word, "M");
    if (both <= ImGui::GetContentRegionAvail().x) ImGui::SameLine(0, ui.px(8));  // else below it
    if (ui.button("mark " + x.id, word, Press::plain, 0, "M", f.scene.read_only.empty() && !x.complaint))
        f.out.push_back(ask::Mark{x.id});
    ui.gap(8);
}

void finding(Frame& f, const FindingText& x) {
    auto& ui = f.ui;
    const bool open = f.view.finding == x.id;
    const float width = ImGui::GetContentRegionAvail().x - ui.px(4);
    const Type type = open || x.complaint ? strong : in(body, x.expected ? Tone::faint : Tone::text);
    const std::string title = x.complaint ? x.title + " — the noise" : x.title;
    const auto size = ui.measure(title, type, width);
    const auto a =
        ui.area("finding " + x.id, std::max(ui.px(touch), size.y + ui.px(18)), open, width, ui.px(8));
    const ImVec2 after = ImGui::GetCursorPos();
    ImGui::SetCursorScreenPos({a.from.x + ui.px(8), (a.from.y + a.to.y - size.y) / 2.0f});
    ui.say(title, type, width);
    ImGui::SetCursorPos(after);
    if (a.hovered) f.view.lit_finding = x.id;
    if (a.pressed) f.view.finding = open ? "" : x.id;
    if (!open) return;
    ImGui::Indent(ui.px(12));
    for (const auto& sentence : x.sentences) ui.say(sentence, body);
    finding_buttons(f, x);
    ImGui::Unindent(ui.px(12));
}

void findings(Frame& f) {
    auto& ui = f.ui;
    if (!f.scene.compared || f.texts.pair_trouble.size()) return;
    ui.heading(f.scene.compared->a == f.scene.compared->b ? "What stands out" : "What changed");
    bool any = false, other = false;
    for (const auto& x : f.texts.findings)
        if (x.flagged) {
            finding(f, x);
            any = true;
        } else {
            other = true;
        }
    if (!any) ui.say("Nothing beyond what chance and the phone's place make.", body);
    if (other) {
        ui.gap(8);
        ui.say("Still there", strong);
        int shown = 0;
        for (const auto& x : f.texts.findings)
            if (!x.flagged && shown++ < 5) finding(f, x);
    }
    ui.gap(10);
    for (const auto& remark : f.texts.pair_remarks) ui.say(remark, small);
    ui.gap(16);
}

}  // namespace

void draw_answers(Frame& f) {
    const auto& box = f.places.answers;
    if (box.width() <= 0.0) return;
    auto& ui = f.ui;
    const Region region("answers", box, ui, 20.0, Tone::paper);
    ImGui::GetWindowDrawList()->AddLine({static_cast<float>(box.x0), static_cast<float>(box.y0)},
                                        {static_cast<float>(box.x0), static_cast<float>(box.y1)},
                                        ui.ink(Tone::line), ui.px(1));
    if (!ImGui::GetIO().MouseDown[0] && ImGui::IsWindowHovered())
        f.view.lit_finding.clear(), f.view.lit_part.clear();
    ui.gap(18);
    for (std::size_t i = 1; i < f.texts.repair.size(); ++i) ui.say(f.texts.repair[i], body);
    suspects(f);
    steps(f);
    findings(f);
    if (f.scene.analysis)
        for (const auto& remark : f.scene.analysis->remarks) ui.say(remark, small);
    if (!f.scene.analysis_trouble.empty()) ui.say(f.scene.analysis_trouble, in(body, Tone::warn_text));
    ui.gap(20);
}

}  // namespace cranknote::desk
