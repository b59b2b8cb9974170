// score_speed: how well crank speed is read on simulated recordings, whose truth is known.
#include <exception>
#include <iostream>

#include "speed_modes.hpp"

int main(int argc, char** argv) {
    CLI::App app{"How well crank speed is read on simulated recordings whose truth is known"};
    app.require_subcommand(1);
    cranknote::score::add_speed(app);
    cranknote::score::add_speed_fit(app);
    cranknote::score::add_speed_together(app);
    cranknote::score::add_speed_steady(app);
    try {
        app.parse(argc, argv);
    } catch (const CLI::ParseError& e) {
        return app.exit(e) == 0 ? 0 : 2;
    } catch (const std::exception& e) {
        std::cerr << "score_speed: " << e.what() << "\n";
        return 1;
    }
    return 0;
}
