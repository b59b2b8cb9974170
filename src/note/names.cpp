#include "note/names.hpp"

namespace cranknote {

std::string_view name_of(Axis v) {
    switch (v) {
        case Axis::hz:
            return "hz";
        case Axis::ratio:
            return "ratio";
    }
    return "";
}

std::string_view name_of(Verdict v) {
    switch (v) {
        case Verdict::gone:
            return "gone";
        case Verdict::weaker:
            return "weaker";
        case Verdict::there:
            return "there";
        case Verdict::stronger:
            return "stronger";
        case Verdict::fresh:
            return "new";
        case Verdict::cannot_tell:
            return "cannot tell";
    }
    return "";
}

std::string_view name_of(Character v) {
    switch (v) {
        case Character::tone:
            return "tone";
        case Character::scrape:
            return "scrape";
        case Character::tick:
            return "tick";
        case Character::hiss:
            return "hiss";
    }
    return "";
}

std::string_view name_of(Follows v) {
    switch (v) {
        case Follows::crank:
            return "crank";
        case Follows::fixed:
            return "fixed";
        case Follows::free:
            return "free";
        case Follows::unknown:
            return "unknown";
    }
    return "";
}

std::string_view name_of(QualityCode v) {
    switch (v) {
        case QualityCode::clipped:
            return "clipped";
        case QualityCode::quiet:
            return "quiet";
        case QualityCode::short_:
            return "short";
        case QualityCode::engine_off:
            return "engine-off";
        case QualityCode::stalls:
            return "stalls";
        case QualityCode::speech:
            return "speech";
        case QualityCode::wind:
            return "wind";
        case QualityCode::unsteady:
            return "unsteady";
        case QualityCode::gain_control:
            return "gain-control";
        case QualityCode::noise_suppression:
            return "noise-suppression";
        case QualityCode::band_limit:
            return "band-limit";
        case QualityCode::low_cut:
            return "low-cut";
        case QualityCode::messenger:
            return "messenger";
        case QualityCode::broken_file:
            return "broken-file";
    }
    return "";
}

std::string_view name_of(Severity v) {
    switch (v) {
        case Severity::note:
            return "note";
        case Severity::warn:
            return "warn";
        case Severity::unusable:
            return "unusable";
    }
    return "";
}

std::string_view name_of(SpeedSource v) {
    switch (v) {
        case SpeedSource::sound:
            return "sound";
        case SpeedSource::entered:
            return "entered";
        case SpeedSource::pickup:
            return "pickup";
    }
    return "";
}

std::string_view name_of(CauseKind v) {
    switch (v) {
        case CauseKind::slip:
            return "slip";
        case CauseKind::misalignment:
            return "misalignment";
        case CauseKind::mesh:
            return "mesh";
        case CauseKind::edge:
            return "edge";
        case CauseKind::bearing:
            return "bearing";
        case CauseKind::pump:
            return "pump";
        case CauseKind::blade:
            return "blade";
        case CauseKind::electrical:
            return "electrical";
        case CauseKind::rub:
            return "rub";
        case CauseKind::rattle:
            return "rattle";
        case CauseKind::valve:
            return "valve";
        case CauseKind::knock:
            return "knock";
        case CauseKind::slap:
            return "slap";
        case CauseKind::injector:
            return "injector";
        case CauseKind::exhaust:
            return "exhaust";
        case CauseKind::intake:
            return "intake";
        case CauseKind::firing:
            return "firing";
        case CauseKind::chain:
            return "chain";
        case CauseKind::gear:
            return "gear";
        case CauseKind::clutch:
            return "clutch";
        case CauseKind::outside:
            return "outside";
        case CauseKind::other:
            return "other";
    }
    return "";
}

std::string_view name_of(Conclusion v) {
    switch (v) {
        case Conclusion::nothing_stands_out:
            return "nothing stands out";
        case Conclusion::open:
            return "open";
        case Conclusion::tie:
            return "tie";
        case Conclusion::named:
            return "named";
    }
    return "";
}

}  // namespace cranknote
