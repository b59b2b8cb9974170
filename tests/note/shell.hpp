// Runs a helper program of the machine (poppler, Python) and returns what it printed.
#pragma once

#include <catch2/catch.hpp>
#include <cstdio>
#include <fstream>
#include <string>

namespace cranknote::test {

inline std::string output_of(const std::string& command) {
    std::string output;
    FILE* pipe = popen((command + " 2>&1").c_str(), "r");
    REQUIRE(pipe != nullptr);
    char buffer[4096];
    while (const auto n = std::fread(buffer, 1, sizeof buffer, pipe)) output.append(buffer, n);
    pclose(pipe);
    return output;
}

inline void write_file(const std::string& file, const std::string& bytes) {
    std::ofstream out(file, std::ios::binary);
    out << bytes;
    REQUIRE(out.good());
}

}  // namespace cranknote::test
