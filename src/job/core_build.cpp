#include "core_build.hpp"  // written by core_build.cmake

#include "job/version.hpp"

namespace cranknote {

std::string core_build() { return CRANKNOTE_CORE_BUILD; }

}  // namespace cranknote
