#include "simulate/sets.hpp"

#include <array>
#include <stdexcept>

#include "simulate/cases.hpp"
#include "units/error.hpp"

namespace cranknote::simulate {

namespace {

struct Row {
    Purpose purpose;
    const char* name;
    int cases, in_check;
    Case (*make)(const CaseKey& key);
};

constexpr std::array rows{
    Row{Purpose::speed, "speed", 480, 24, make_speed_case},
    Row{Purpose::unchanged, "unchanged", 600, 24, make_pair_case},
    Row{Purpose::unchanged_same_placement, "unchanged_same_placement", 300, 12, make_pair_case},
    Row{Purpose::healthy_off, "healthy_off", 400, 16, make_pair_case},
    Row{Purpose::fault_moved, "fault_moved", 1200, 32, make_pair_case},
    Row{Purpose::fault_untouched, "fault_untouched", 600, 16, make_pair_case},
    Row{Purpose::fault_repeats, "fault_repeats", 400, 8, make_pair_case},
    Row{Purpose::cold, "cold", 300, 8, make_pair_case},
    Row{Purpose::telling, "telling", 800, 24, make_pair_case},
    Row{Purpose::job, "job", 400, 8, make_job_case},
    Row{Purpose::clean_job, "clean_job", 200, 6, make_job_case},
    Row{Purpose::trouble, "trouble", 200, 12, make_speed_case},
};

const Row& row_of(Purpose purpose) {
    for (const auto& r : rows)
        if (r.purpose == purpose) return r;
    throw std::invalid_argument("no such purpose");
}

}  // namespace

std::string name_of(Set set) { return set == Set::tune ? "tune" : "score"; }
std::string name_of(Purpose purpose) { return row_of(purpose).name; }

const std::vector<Purpose>& all_purposes() {
    static const std::vector<Purpose> all = [] {
        std::vector<Purpose> v;
        for (const auto& r : rows) v.push_back(r.purpose);
        return v;
    }();
    return all;
}

Purpose purpose_named(const std::string& name) {
    for (const auto p : all_purposes())
        if (name_of(p) == name) return p;
    throw Error("no such purpose", name, "simulate --list prints them", Error::Kind::wrong_call);
}

int cases_in(Purpose purpose) { return row_of(purpose).cases; }
int cases_in_check(Purpose purpose) { return row_of(purpose).in_check; }

Case make_case(Set set, Purpose purpose, int index) {
    const auto& row = row_of(purpose);
    if (index < 0 || index >= row.cases)
        throw std::out_of_range(std::string("no case of that number in ") + row.name);
    return row.make(CaseKey{set, purpose, index});
}

}  // namespace cranknote::simulate
