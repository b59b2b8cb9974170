#include "desk/arrange.hpp"

#include <algorithm>
#include <cmath>

namespace cranknote::desk {

namespace {

using figure::Box;

constexpr double head_height = 76.0, foot_height = 40.0, tabs_height = 60.0;
constexpr double least_whole_width = 1360.0, least_whole_height = 780.0, least_shared_width = 880.0;

}  // namespace

Arrangement arrange(figure::Size window, double scale, const ViewState& view) {
    Arrangement to;
    const double width = window.width / scale, height = window.height / scale;
    const auto px = [scale](double v) { return std::round(v * scale); };
    to.head = {0.0, 0.0, window.width, px(head_height)};
    to.foot = {0.0, window.height - px(foot_height), window.width, window.height};
    const double top = to.head.y1, bottom = to.foot.y0;
    if (width < least_shared_width) {
        to.kind = Arrangement::Kind::single;
        const Box all{0.0, top + px(tabs_height), window.width, bottom};
        switch (view.page) {
            case Page::day:
                to.day = all;
                break;
            case Page::engine:
                to.engine = all;
                break;
            case Page::sound:
                to.sound = all;
                break;
            case Page::answers:
                to.answers = all;
                break;
        }
        return to;
    }
    const bool whole = width >= least_whole_width && height >= least_whole_height;
    to.kind = whole ? Arrangement::Kind::whole : Arrangement::Kind::shared;
    const double left = px(std::clamp(width * 0.19, 232.0, 380.0)),
                 right = px(std::clamp(width * 0.29, 330.0, 620.0));
    to.day = {0.0, top, left, bottom};
    to.answers = {window.width - right, top, window.width, bottom};
    const Box middle{left, top, window.width - right, bottom};
    if (whole) {
        const double split = std::round(middle.y0 + 0.46 * middle.height());
        to.engine = {middle.x0, middle.y0, middle.x1, split};
        to.sound = {middle.x0, split, middle.x1, middle.y1};
        return to;
    }
    (view.engine_in_middle ? to.engine : to.sound) = middle;
    return to;
}

}  // namespace cranknote::desk
