// The table that sentences.cpp works on. Internal to it.
#pragma once

#include <span>
#include <string_view>

#include "note/sentences.hpp"

namespace cranknote {

struct SentenceRow {
    Say say;
    std::string_view name, english;
};

/// One row for each Say, in its order.
[[nodiscard]] std::span<const SentenceRow> english_sentences();

}  // namespace cranknote
