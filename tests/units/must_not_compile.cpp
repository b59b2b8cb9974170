#include "units/units.hpp"

using namespace cranknote;

[[maybe_unused]] static void cases() {
    [[maybe_unused]] const Hertz f{50};
    [[maybe_unused]] const Rpm n{800};
    [[maybe_unused]] const Decibel d{3};
    [[maybe_unused]] Ratio k = ratio_of(f, n);
#ifdef HERTZ_PLUS_RPM
    (void)(f + n);
#endif
#ifdef BARE_DOUBLE
    k = 2.0;
#endif
#ifdef HERTZ_IS_RATIO
    k = f;
#endif
#ifdef RATE_IS_HERTZ
    [[maybe_unused]] const Hertz g = SampleRate{48000};
#endif
#ifdef SWAPPED
    k = ratio_of(n, f);
#endif
#ifdef DECIBEL_TIMES_DECIBEL
    (void)(d * d);
#endif
}
