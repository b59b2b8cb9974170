// How a command refuses what it was asked.
#pragma once

#include <string>

#include "units/error.hpp"

namespace cranknote::cli {

/// Throws an Error that ends the program with exit code 2.
[[noreturn]] inline void wrong(const std::string& trouble, const std::string& where,
                               const std::string& advice) {
    throw Error(trouble, where, advice, Error::Kind::wrong_call);
}

}  // namespace cranknote::cli
