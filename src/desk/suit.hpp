// What of a figure is left out where it has little room. Pure.
#pragma once

#include <string>

#include "figure/figure.hpp"

namespace cranknote::desk {

/// Which panel of two stays where there is room for one.
enum class Keep { first, last };

/// `size` in px at the theme's scale 1. Lower than 430 the axes go without their names (every number has its
/// unit), lower than 360 flags have one line (where it is narrower than 480, their first alone), lower than
/// 215 one panel stays.
void suit(figure::Figure& figure, figure::Size size, Keep keep);

/// Names with all that is said of them in one line each.
void join_names(figure::Figure& figure);

/// Names with their turns alone: for a list in two columns.
void shorten_names(figure::Figure& figure);

/// "0.33×" of "6PK1565 · 0.33×"; empty: there is none.
[[nodiscard]] std::string turns_in(const std::string& line);

}  // namespace cranknote::desk
