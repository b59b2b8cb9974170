// What `cranknote layout` prints: one record of ratios, as words for a narrow terminal and as JSON.
#pragma once

#include <iosfwd>
#include <string>

#include "layout/layout.hpp"

namespace cranknote::cli {

/// Turns of every part, then every predicted line with its 95 % limits; at most 60 columns wide.
void print_layout(std::ostream& out, const Layout& layout);
/// {"schema":1,"file":s,"name":s,"engine":{...},"turns":[...],"drives":[...],"lines":[...],"names":[s]}
void print_layout_json(std::ostream& out, const Layout& layout, const std::string& file);
/// The layout as TOML, its names as comments behind it.
void print_layout_toml(std::ostream& out, const Layout& layout);
void print_layout_toml_json(std::ostream& out, const Layout& layout);

}  // namespace cranknote::cli
