// cranknote listen: one recording, or a before and an after at one level.
#include <fmt/format.h>

#include <algorithm>
#include <memory>

#include "audio/decode.hpp"
#include "audio/play.hpp"
#include "cli/commands.hpp"
#include "cli/terminal.hpp"
#include "units/error.hpp"

namespace cranknote::cli {
namespace {

struct ListenCall {
    std::vector<std::string> files;
    std::vector<double> band;
    double from = -1, to = -1, seconds = 0, rest = 0;
    bool has_rest = false, slow = false, loop = false, as_recorded = false;
    std::string output;
};

struct Sound {
    std::vector<float> samples;
    SampleRate rate;
};

Sound read_sound(const std::string& path, const ListenCall& call, Streams s) {
    Stretch stretch;
    if (call.from >= 0) stretch.from = Seconds{call.from};
    if (call.to >= 0) stretch.to = Seconds{call.to};
    const auto got = read_stretch(path, stretch);
    if (got.damage) s.err << "cranknote: " << path << ": " << *got.damage << "\n";
    return {mono(got.recording), got.recording.rate};
}

Treatment listening(const ListenCall& call) {
    Treatment how;
    if (call.band.size() == 2) how.band = {Hertz{call.band[0]}, Hertz{call.band[1]}};
    if (call.has_rest) how.rest = Decibel{call.rest};
    how.half_speed = call.slow;
    how.loop_loudest = call.loop;
    return how;
}

std::vector<std::shared_ptr<const Playable>> takes(const ListenCall& call, SampleRate rate, Streams s) {
    std::vector<Sound> sounds;
    for (const auto& f : call.files) sounds.push_back(read_sound(f, call, s));
    std::pair<Decibel, Decibel> gains{Decibel{0}, Decibel{0}};
    if (sounds.size() == 2 && !call.as_recorded)
        gains = level_match(sounds[0].samples, sounds[0].rate, sounds[1].samples, sounds[1].rate);
    std::vector<Playable> made;
    for (std::size_t i = 0; i < sounds.size(); ++i)
        made.push_back(take_of(sounds[i].samples, sounds[i].rate, rate, i == 0 ? gains.first : gains.second,
                               listening(call)));
    keep_from_clipping(made);
    std::vector<std::shared_ptr<const Playable>> shared;
    for (auto& t : made) shared.push_back(std::make_shared<const Playable>(std::move(t)));
    return shared;
}

/// Plays until the end, a wish or a key; true when it came to its end by itself.
class Session {
  public:
    Session(const ListenCall& call, Streams s)
        : call_(call),
          player_(call.output, SampleRate{48000}),
          takes_(takes(call, player_.rate(), s)),
          line_(s.err) {}

    void run() {
        player_.play(takes_[0]);
        while (!interrupt_.wished() && player_.alive()) {
            if (!act_on(keys_.next(50))) return;
            show();
            waited_ += 0.05;
            if (call_.seconds > 0 && waited_ >= call_.seconds) return;
            if (player_.ended() && player_.position().value() > 0.0 && !next_or_done()) return;
        }
        if (!player_.alive())
            throw Error("the output is gone", player_.device(), "choose another with --output");
    }

  private:
    bool act_on(std::optional<char> key) {
        if (!key) return true;
        if (*key == 'q') return false;
        if (*key == 'r') player_.rewind();
        if (*key == ' ') player_.set_gain((paused_ = !paused_) ? 0.0 : 1.0);
        if (*key == 'a') change_to(0);
        if (*key == 'b') change_to(1);
        return true;
    }
    void change_to(std::size_t which) {
        if (which >= takes_.size()) return;
        playing_ = which;
        player_.play(takes_[which]);
    }
    /// At a take's end: without keys the second file follows the first, then it is over.
    bool next_or_done() {
        if (keys_.there()) {
            player_.rewind();
            return true;
        }
        if (playing_ + 1 >= takes_.size()) return false;
        change_to(playing_ + 1);
        player_.rewind();
        return true;
    }
    void show() {
        const bool two = takes_.size() > 1;
        line_.show(fmt::format("{}{:6.1f} s{}   {}space: pause  r: from the start  q: end",
                               two ? (playing_ == 0 ? "A " : "B ") : "", player_.position().value(),
                               paused_ ? " paused" : "", two ? "a, b: change over  " : ""));
    }

    const ListenCall& call_;
    Interrupt interrupt_;
    Player player_;
    std::vector<std::shared_ptr<const Playable>> takes_;
    Keys keys_;
    StatusLine line_;
    std::size_t playing_ = 0;
    double waited_ = 0;
    bool paused_ = false;
};

}  // namespace

void add_listen(CLI::App& app, Streams s) {
    auto* sub = app.add_subcommand("listen", "Play a recording, or a before and an after at one level");
    auto call = std::make_shared<ListenCall>();
    sub->add_option("FILE", call->files, "One file, or two: A and B")->required()->expected(1, 2);
    sub->add_option("--band", call->band, "This band alone, in Hz")->expected(2)->type_name("LO HI");
    auto* rest = sub->add_option("--rest", call->rest,
                                 "With --band: the level of everything else, in dB (else removed)")
                     ->check(CLI::Range(-60.0, 0.0));
    sub->add_option("--from", call->from, "Begin at this second")->check(CLI::NonNegativeNumber);
    sub->add_option("--to", call->to, "End at this second")->check(CLI::NonNegativeNumber);
    sub->add_flag("--slow", call->slow, "Half speed at the same pitch, for ticks");
    sub->add_flag("--loop", call->loop, "Round and round over the loudest second");
    sub->add_flag("--as-recorded", call->as_recorded, "Do not bring A and B to one level");
    sub->add_option("--seconds", call->seconds, "Stop after this time")->check(CLI::Range(0.1, 86400.0));
    sub->add_option("--output", call->output, "The output's name or a part of it");
    sub->callback([call, rest, s] {
        call->has_rest = rest->count() > 0;
        Session(*call, s).run();
    });
}

}  // namespace cranknote::cli
