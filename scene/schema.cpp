// Look-up in the schema's tables. Not here: the checks of values (schema_types.cpp).
#include "scene/schema.h"

#include <algorithm>
#include <array>
#include <map>

#include "scene/schema_tables.h"

namespace keyfall {

namespace {

using Form = Section::Form;
constexpr std::array kTop = {
    Section{"title", Form::value},
    Section{"camera", Form::table},
    Section{"picture", Form::table},
    Section{"table", Form::table},
    Section{"backdrop", Form::table},
    Section{"room", Form::table},
    Section{"product", Form::list},
    Section{"block", Form::list},
    Section{"light", Form::list},
    Section{"board", Form::list},
    Section{"scrim", Form::list},
    Section{"flag", Form::list},
    Section{"probe", Form::list},
    Section{"edge", Form::list, false},
    Section{"variant", Form::list, false},
    Section{"compare", Form::table},
    Section{"limits", Form::table},
    Section{"motion", Form::table},
    Section{"video", Form::table},
    Section{"lamp", Form::definitions},
    Section{"fabric", Form::definitions},
    Section{"material", Form::definitions},
    Section{"modifier", Form::definitions},
    Section{"gel", Form::definitions},
};

using Tables = std::map<std::string_view, const std::vector<Key>*>;
const Tables& tables() {
    static const Tables all = {
        {"", &schema::top},
        {"camera", &schema::camera},
        {"picture", &schema::picture},
        {"table", &schema::table},
        {"backdrop", &schema::backdrop},
        {"room", &schema::room},
        {"product", &schema::product},
        {"block", &schema::block},
        {"light", &schema::light},
        {"board", &schema::board},
        {"scrim", &schema::scrim},
        {"flag", &schema::flag},
        {"probe", &schema::probe},
        {"edge", &schema::edge},
        {"variant", &schema::variant},
        {"compare", &schema::compare},
        {"limits", &schema::limits},
        {"motion", &schema::motion},
        {"video", &schema::video},
        {"lamp", &schema::lamp},
        {"fabric", &schema::fabric},
        {"material", &schema::material},
        {"modifier", &schema::modifier},
        {"gel", &schema::gel},
        {"around", &schema::around},
        {"aim", &schema::aim},
        {"reads", &schema::reads},
        {"grid", &schema::grid},
        {"deflector", &schema::deflector},
        {"head_bowl", &schema::headBowl},
    };
    return all;
}

}  // namespace

std::span<const Section> topLevel() {
    return kTop;
}

const Section* findSection(std::string_view name) {
    const auto* at =
        std::find_if(kTop.begin(), kTop.end(), [name](const Section& s) { return s.name == name; });
    return at == kTop.end() ? nullptr : at;
}

std::span<const Key> keysOf(std::string_view section) {
    return *tables().at(section);
}

const Key* findKey(std::string_view section, std::string_view key) {
    const auto keys = keysOf(section);
    const auto at =
        std::find_if(keys.begin(), keys.end(), [key](const Key& k) { return k.name == key; });
    return at == keys.end() ? nullptr : &*at;
}

std::vector<std::string> namesOf(std::span<const Key> keys) {
    std::vector<std::string> names;
    names.reserve(keys.size());
    for (const Key& key : keys) names.emplace_back(key.name);
    return names;
}

std::vector<std::string> sectionNames() {
    std::vector<std::string> names;
    for (const Section& section : kTop) names.emplace_back(section.name);
    return names;
}

}  // namespace keyfall
