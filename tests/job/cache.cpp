#include "job/cache.hpp"

#include <catch2/catch.hpp>

#include "job/scratch.hpp"

namespace cranknote::job {
using test::Scratch;
using test::text_of;
namespace fs = std::filesystem;

TEST_CASE("a cache gives back what was put, by its key") {
    const Scratch scratch;
    const Cache cache(scratch / "cache");
    const std::string bytes("a\0b\n", 4);
    CHECK_FALSE(cache.get("one").has_value());
    CHECK(cache.put("one", bytes));
    CHECK(cache.put("two", ""));
    CHECK(cache.get("one") == bytes);
    CHECK(cache.get("two") == "");
    CHECK(cache.put("one", "new"));
    CHECK(cache.get("one") == "new");
    CHECK(cache.put("../../out", "x"));
    CHECK(std::distance(fs::directory_iterator(scratch.path()), {}) == 1);
}

TEST_CASE("the parts of a key are kept apart") {
    CHECK(cache_key({"ab", "c"}) != cache_key({"a", "bc"}));
    CHECK(cache_key({"abc"}) != cache_key({"abc", ""}));
    CHECK(cache_key({"ab", "c"}) == cache_key({"ab", "c"}));
}

TEST_CASE("a deleted or damaged cache is an empty one") {
    const Scratch scratch;
    const Cache cache(scratch / "cache");
    REQUIRE(cache.put("one", "result"));
    const fs::path file = fs::directory_iterator(scratch / "cache")->path();
    const std::string whole = text_of(file);
    scratch.put(file, whole.substr(0, whole.size() - 1));
    CHECK_FALSE(cache.get("one").has_value());
    scratch.put(file, "short");
    CHECK_FALSE(cache.get("one").has_value());
    scratch.put(file, whole);
    CHECK(cache.get("one") == "result");
    fs::remove_all(scratch / "cache");
    CHECK_FALSE(cache.get("one").has_value());
}

TEST_CASE("a cache that cannot be written keeps nothing and does not complain") {
    const Scratch scratch;
    scratch.put("file", "x");
    CHECK_FALSE(Cache(scratch / "file/below").put("one", "x"));
    CHECK_FALSE(Cache("").put("one", "x"));
    CHECK_FALSE(Cache("").get("one").has_value());
    CHECK_FALSE(Cache(scratch / "small", 3).put("one", "four"));
}

TEST_CASE("a cache is trimmed from its oldest end") {
    const Scratch scratch;
    const std::string bytes(1000, 'x');
    const Cache cache(scratch / "cache");
    REQUIRE(cache.put("old", bytes));
    fs::last_write_time(fs::directory_iterator(scratch / "cache")->path(),
                        fs::file_time_type::clock::now() - std::chrono::hours{1});
    REQUIRE(cache.put("new", bytes));
    Cache(scratch / "cache", 1500).trim();
    CHECK_FALSE(cache.get("old").has_value());
    CHECK(cache.get("new").has_value());
}

}  // namespace cranknote::job
