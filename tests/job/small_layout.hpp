// An invented front end, just large enough for the rules of a job.
#pragma once

namespace cranknote::test {

inline constexpr const char* small_layout = R"(schema = 1
name = "Small"
[engine]
cylinders = 4
[[drive]]
name = "timing belt"
kind = "toothed"
driver = "crank sprocket"
run_without = "never"
[[drive]]
name = "fan belt"
kind = "vee"
driver = "crank pulley"
[[part]]
name = "crank sprocket"
kind = "crank sprocket"
turns_with = "crank"
teeth = 20
[[part]]
name = "cam wheel"
kind = "cam wheel"
drive = "timing belt"
teeth = 40
[[part]]
name = "crank pulley"
kind = "crank pulley"
turns_with = "crank"
diameter_mm = 140
[[part]]
name = "water pump"
kind = "water pump"
drive = "fan belt"
diameter_mm = 120
[[part]]
name = "fan"
kind = "fan"
on_shaft_of = "water pump"
blades = 5
[[cover]]
name = "upper cover"
can_touch = ["cam wheel"]
[[pull]]
name = "fan belt off"
off = ["fan belt", "fan"]
)";

}  // namespace cranknote::test
