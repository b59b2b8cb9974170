// cranknote-desk: the whole job on one screen.
#include <CLI/CLI.hpp>
#include <iostream>

#include "desk/program.hpp"
#include "units/error.hpp"

namespace cranknote::desk {

int run(int argc, char** argv) {
    CLI::App app{"Cranknote's window: the whole job on one screen"};
    Options o;
    declare(app, o);
    CLI11_PARSE(app, argc, argv);
    try {
        Program program(o);
        if (o.measure)
            program.measure();
        else if (o.shot.empty())
            program.run();
        else
            program.shoot();
        return 0;
    } catch (const Error& e) {
        std::cerr << "cranknote-desk: " << e.what() << "\n";
        return e.kind == Error::Kind::wrong_call ? 2 : 1;
    }
}

}  // namespace cranknote::desk

int main(int argc, char** argv) { return cranknote::desk::run(argc, argv); }
