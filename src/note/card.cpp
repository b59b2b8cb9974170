#include "note/card.hpp"

#include <algorithm>
#include <array>

#include "figure/figures.hpp"
#include "figure/number_text.hpp"
#include "note/note.hpp"

namespace cranknote {

namespace {

using namespace document;

constexpr const char* box = "\u2610";  // to tick

template <std::size_t N>
Items items(const Sentences& say, const std::array<Say, N>& sentences, const char* mark) {
    Items list;
    for (std::size_t i = 0; i < N; ++i)
        list.items.push_back({mark ? std::string(mark) : std::to_string(i + 1), say(sentences[i])});
    return list;
}

Blanks blanks(const Sentences& say, System system) {
    Blanks b;
    for (const auto which : {Say::card_write_vehicle, Say::card_write_date, Say::card_write_speed,
                             system == System::us ? Say::card_write_coolant_us : Say::card_write_coolant,
                             Say::card_write_loads, Say::card_write_when})
        b.labels.push_back(say(which));
    return b;
}

Document empty_card(const Sentences& say, std::string title) {
    Document d;
    d.title = std::move(title);
    d.footer = d.title;
    d.subject = d.title;
    d.page_of = say(Say::page_of);
    d.one_page = true;
    return d;
}

}  // namespace

Document recording_card(const Sentences& say, System system) {
    auto d = empty_card(say, say(Say::card_title));
    d.enlarge = 1.2;
    d.blocks = {
        Paragraph{say(Say::card_lead), Paragraph::Tone::lead},
        Heading{say(Say::card_place)},
        items(say, std::array{Say::card_place_1, Say::card_place_2, Say::card_place_3}, "\u2022"),
        Heading{say(Say::card_settings)},
        items(say, std::array{Say::card_settings_1, Say::card_settings_2}, "\u2022"),
        Heading{say(Say::card_record)},
        items(say,
              std::array{Say::card_record_1, Say::card_record_2, Say::card_record_3, Say::card_record_4,
                         Say::card_record_5},
              nullptr),
        Heading{say(Say::card_careful)},
        items(say,
              std::array{Say::card_careful_1, Say::card_careful_2, Say::card_careful_3, Say::card_careful_4},
              "!"),
        Heading{say(Say::card_write)},
        blanks(say, system),
        Blanks{{say(Say::card_write_complaint), say(Say::card_write_worked)}, false}};
    return d;
}

Document layout_card(const Layout& layout, const Sentences& say, System system) {
    auto d = empty_card(say, say(Say::card_layout_title, {{"layout", layout.name}}));
    figure::EngineView view;
    view.words = captions_of(say);
    auto drawing = figure::engine_figure(layout, view);
    drawing.margin = 0.0;
    drawing.most_height = 330.0;
    d.blocks.push_back(blanks(say, system));
    d.blocks.push_back(Picture{std::move(drawing), "", true, "engine"});
    Table states{{{say(Say::card_states), false, 2.6},
                  {say(Say::card_takes), true, 0.6},
                  {say(Say::col_speed), false, 0.9},
                  {say(Say::card_file), false, 1.2}},
                 {}};
    states.rows.push_back({std::string(box) + " " + say(Say::card_cold), "", "", ""});
    states.rows.push_back({std::string(box) + " " + say(Say::card_warm), "", "", ""});
    for (const auto& pull : layout.pulls)
        states.rows.push_back(
            {std::string(box) + " " + pull.name, number_text(pull.minutes + pull.refit_minutes, 0), "", ""});
    states.rows.push_back({std::string(box), "", "", ""});
    d.blocks.push_back(std::move(states));
    Items cautions;
    std::vector<std::string> said;
    for (const auto& pull : layout.pulls)
        for (const auto& caution : pull.cautions)
            if (std::find(said.begin(), said.end(), caution) == said.end()) {
                said.push_back(caution);
                cautions.items.push_back({"!", pull.name + ": " + caution});
            }
    if (!said.empty()) {
        d.blocks.push_back(Heading{say(Say::card_careful)});
        d.blocks.push_back(std::move(cautions));
    }
    return d;
}

}  // namespace cranknote
