// Reading and writing of JSON objects field by field; used by json_read.cpp and json_write.cpp only.
#pragma once

#include <cmath>
#include <nlohmann/json.hpp>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "job/moment.hpp"
#include "units/error.hpp"

namespace cranknote::job {

using Json = nlohmann::ordered_json;

/// Reads an object's fields and remembers which were asked for; the rest is of a newer version.
class FieldReader {
  public:
    /// `where` is the way to it, for errors: "job.json: recordings[2]".
    FieldReader(const Json& object, std::string where) : object_(object), where_(std::move(where)) {
        if (!object.is_object()) wrong("", "an object {...}");
    }

    [[nodiscard]] std::optional<std::string> text(const char* key) {
        const Json* v = take(key);
        if (!v) return std::nullopt;
        if (!v->is_string()) wrong(key, "text");
        return v->get<std::string>();
    }
    [[nodiscard]] std::string needed_text(const char* key) {
        auto v = text(key);
        if (!v || v->empty()) wrong(key, "text, and not empty");
        return *std::move(v);
    }
    [[nodiscard]] std::optional<double> number(const char* key, double lowest, double highest) {
        const Json* v = take(key);
        if (!v) return std::nullopt;
        if (!v->is_number()) wrong(key, "a number");
        const double number = v->get<double>();
        if (!(number >= lowest && number <= highest)) wrong(key, "a number in its range");
        return number;
    }
    [[nodiscard]] std::optional<std::int64_t> whole(const char* key, std::int64_t lowest,
                                                    std::int64_t highest) {
        const Json* v = take(key);
        if (!v) return std::nullopt;
        // An unsigned above the signed range would wrap: compare before reading it as signed.
        if (!v->is_number_integer() ||
            (v->is_number_unsigned() && v->get<std::uint64_t>() > static_cast<std::uint64_t>(highest)))
            wrong(key, "a whole number in its range");
        const auto number = v->get<std::int64_t>();
        if (number < lowest || number > highest) wrong(key, "a whole number in its range");
        return number;
    }
    [[nodiscard]] std::optional<bool> yes_no(const char* key) {
        const Json* v = take(key);
        if (!v) return std::nullopt;
        if (!v->is_boolean()) wrong(key, "true or false");
        return v->get<bool>();
    }
    [[nodiscard]] std::optional<Moment> moment(const char* key) {
        const auto v = text(key);
        if (!v) return std::nullopt;
        const auto m = moment_from(*v);
        if (!m) wrong(key, "a date and time like 2026-03-01T09:30:00Z");
        return m;
    }
    [[nodiscard]] std::optional<When> when(const char* key) {
        const auto v = text(key);
        if (!v) return std::nullopt;
        const auto w = when_from(*v);
        if (!w) wrong(key, "a date, or a date and time like 2026-03-01T09:30:00Z");
        return w;
    }
    [[nodiscard]] std::vector<std::string> texts(const char* key) {
        const Json* v = take(key);
        if (!v) return {};
        if (!v->is_array()) wrong(key, "a list [...] of texts");
        std::vector<std::string> list;
        for (const Json& item : *v) {
            if (!item.is_string()) wrong(key, "a list [...] of texts");
            list.push_back(item.get<std::string>());
        }
        return list;
    }
    /// Calls read(FieldReader&) for each object of a list.
    template <class Read>
    void each(const char* key, Read read) {
        const Json* v = take(key);
        if (!v) return;
        if (!v->is_array()) wrong(key, "a list [...]");
        for (std::size_t i = 0; i < v->size(); ++i) {
            FieldReader item((*v)[i], where_ + ": " + key + "[" + std::to_string(i) + "]");
            read(item);
        }
    }
    /// The value itself, absent for null and for a missing field; the caller checks its type.
    [[nodiscard]] const Json* take(const char* key) {
        taken_.insert(key);
        const auto found = object_.find(key);
        return found == object_.end() || found->is_null() ? nullptr : &*found;
    }
    /// A known field with a value that only a newer version knows: it is kept as it is.
    void leave(const char* key) { taken_.erase(key); }

    /// What was not taken, as JSON text; empty if nothing was left.
    [[nodiscard]] std::string left() const {
        Json rest = Json::object();
        for (const auto& [key, value] : object_.items())
            if (!taken_.contains(key)) rest[key] = value;
        return rest.empty() ? std::string{} : rest.dump();
    }
    [[noreturn]] void wrong(const char* key, const char* expected) const {
        throw Error(std::string(key[0] ? key : "it") + " should be " + expected, where_, "");
    }
    [[nodiscard]] const std::string& where() const { return where_; }

  private:
    const Json& object_;
    std::string where_;
    std::set<std::string, std::less<>> taken_;
};

/// Writes fields in the order of the calls; null for what is absent.
class FieldWriter {
  public:
    template <class T>
    void put(const char* key, const T& value) {
        object_[key] = value;
    }
    template <class T>
    void put(const char* key, const std::optional<T>& value) {
        object_[key] = value ? Json(*value) : Json(nullptr);
    }
    void put(const char* key, const std::optional<Moment>& m) {
        object_[key] = m ? Json(to_iso(*m)) : Json(nullptr);
    }
    void put(const char* key, const std::optional<When>& w) {
        object_[key] = w ? Json(to_iso(*w)) : Json(nullptr);
    }
    template <class Tag>
    void put(const char* key, const std::optional<Quantity<Tag>>& q) {
        object_[key] = q ? Json(q->value()) : Json(nullptr);
    }
    /// Adds the fields that were not ours; where one of ours has a value that we did not know, it wins.
    [[nodiscard]] Json with(const std::string& unknown) && {
        const Json rest = unknown.empty() ? Json::object() : Json::parse(unknown);
        for (const auto& [key, value] : rest.items())
            if (!object_.contains(key) || object_[key].is_null()) object_[key] = value;
        return std::move(object_);
    }

  private:
    Json object_ = Json::object();
};

}  // namespace cranknote::job
