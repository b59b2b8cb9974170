#include "speed_modes.hpp"
namespace cranknote::score {
void add_speed_fit(CLI::App&) {}
}  // namespace cranknote::score
