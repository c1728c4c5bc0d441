// Names and places: what a point, an `around` and an `aim` of the file mean.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <glm/gtc/constants.hpp>

#include "scene/placement.h"
#include "scene/read_draft.h"

namespace keyfall {

namespace {

constexpr double kNearest_m = 1e-6;  // two places closer than this give no direction

std::vector<std::string> placeNames(const Draft& draft) {
    std::vector<std::string> names{"camera"};
    for (const Object& object : draft.objects) {
        const Section* section = findSection(object.kind);
        if (section->form == Section::Form::list && section->isPlace) names.push_back(object.name);
    }
    return names;
}

std::optional<glm::vec3> pointOfName(Draft& draft, const std::string& name, const Place& askedAt,
                                     const std::string& asker) {
    const auto names = placeNames(draft);
    if (std::find(names.begin(), names.end(), name) == names.end()) {
        draft.messages().error(askedAt, {fmt::format("{}: there is no object \"{}\"", asker, name),
                                         "known here: " + joined(names), didYouMean(name, names)});
        return {};
    }
    Object* object = draft.find(name);
    return object == nullptr ? std::nullopt : pointOf(draft, *object, askedAt);
}

std::optional<glm::vec3> placeAroundOf(Draft& draft, Object& object) {
    const Fields& around = object.fields.nested("around");
    std::optional<glm::vec3> point;
    if (around.given("point")) {
        point = resolveTarget(draft, around, "point");
    } else {
        point = subjectMiddle(draft);
        around.recordDefault("point", shownCm(*point));
    }
    if (!point) return {};
    object.aroundPoint_m = point;
    return placeAround(*point, glm::radians(around.number("angle")),
                       glm::radians(around.number("elevation")),
                       around.number("distance") * kMetresPerCm);
}

}  // namespace

Object* Draft::find(std::string_view name) {
    const auto at = std::find_if(objects.begin(), objects.end(), [name](const Object& o) {
        return o.name == name && findSection(o.kind)->form != Section::Form::definitions;
    });
    return at == objects.end() ? nullptr : &*at;
}

std::vector<Object*> Draft::all(std::string_view kind) {
    std::vector<Object*> list;
    for (Object& object : objects)
        if (object.kind == kind) list.push_back(&object);
    return list;
}

std::filesystem::path Draft::beside(const std::string& path) const {
    return file.parent_path() / path;
}

void Draft::warn(const Place& place, const std::string& code, const std::string& text) {
    scene.warnings.push_back({code, text});
    messages().warning(place, text);
}

void Draft::recordDefault(const std::string& key, const std::string& value) {
    notes.defaults.push_back({key, value});
}

glm::vec3 metres(glm::dvec3 place_cm) {
    return glm::vec3(place_cm * kMetresPerCm);
}

std::string shownCm(glm::vec3 place_m) {
    const auto cm = [](float x) {
        const double rounded = std::round(static_cast<double>(x) * 10000.0) / 100.0;
        return rounded == 0.0 ? 0.0 : rounded;  // no "-0"
    };
    return fmt::format("[{}, {}, {}]", cm(place_m.x), cm(place_m.y), cm(place_m.z));
}

std::optional<Box3> subjectBox(const Draft& draft) {
    for (const ItemKind kind : {ItemKind::product, ItemKind::block}) {
        Box3 box;
        bool any = false;
        for (const DraftItem& entry : draft.items) {
            if (entry.item.kind != kind || !entry.on) continue;
            const Box3 one = boundsOf(entry.item.mesh);
            box.add(one.low);
            box.add(one.high);
            any = true;
        }
        if (any) return box;
    }
    return {};
}

glm::vec3 subjectMiddle(const Draft& draft) {
    const auto box = subjectBox(draft);
    return box ? box->middle() : glm::vec3(0.0F);
}

std::optional<glm::vec3> resolveTarget(Draft& draft, const Fields& fields, std::string_view key) {
    const Value* value = fields.value(key);
    if (value == nullptr || (fields.bad(key))) return {};
    if (value->isList()) return metres(fields.triple(key));
    return pointOfName(draft, value->text, fields.placeOf(key),
                       fmt::format("{}.{}", fields.label(), key));
}

std::optional<glm::vec3> pointOf(Draft& draft, Object& object, const Place& askedAt) {
    if (object.state == Object::State::busy) {
        draft.messages().error(askedAt,
                               {fmt::format("the place of \"{}\" depends on itself", object.name),
                                {},
                                "give one of the objects in this circle an `at`"});
        object.state = Object::State::failed;
    }
    if (object.state == Object::State::failed) return {};
    if (object.state == Object::State::placed) return object.point_m;
    std::optional<glm::vec3> fallback;
    if (object.kind == "light") fallback = defaultLightPlace(draft, object);
    const auto place = placeByFile(draft, object, fallback);
    return place;
}

std::optional<glm::vec3> placeByFile(Draft& draft, Object& object,
                                     std::optional<glm::vec3> fallback) {
    const Fields& fields = object.fields;
    object.state = Object::State::busy;
    std::optional<glm::vec3> place;
    const bool canStandAround = findKey(object.kind, "around") != nullptr;
    if (canStandAround && !fields.atMostOne({"at", "around"})) {
        place = std::nullopt;
    } else if (fields.sound("at")) {
        place = metres(fields.triple("at"));
    } else if (fields.sound("around")) {
        place = placeAroundOf(draft, object);
    } else if (!fields.given("at") && !fields.given("around")) {
        place = fallback;
        if (!fallback && canStandAround)  // else the schema asks for `at`
            draft.messages().error(fields.place(),
                                   {fields.label() + " has no place", "needed: at or around",
                                    "for example around = { angle = -90, distance = 25 }"});
    }
    // A circle through this object has marked it as failed meanwhile.
    if (object.state == Object::State::failed) return {};
    object.state = place ? Object::State::placed : Object::State::failed;
    if (place) object.point_m = *place;
    return place;
}

namespace {

std::optional<glm::vec3> mirrorAim(Draft& draft, const Object& object, glm::vec3 at_m) {
    if (object.kind != "board") {
        object.fields.error(
            "aim", {"{ from, to } turns a card or mirror", {}, "aim at a point or a name"});
        return {};
    }
    const Fields& aim = object.fields.nested("aim");
    const auto from = resolveTarget(draft, aim, "from");
    const auto to = resolveTarget(draft, aim, "to");
    if (!from || !to) return {};
    const bool apart = glm::distance(*from, at_m) > static_cast<float>(kNearest_m) &&
                       glm::distance(*to, at_m) > static_cast<float>(kNearest_m);
    const glm::vec3 normal = apart ? mirrorNormal(at_m, *from, *to) : glm::vec3(0.0F);
    if (normal != glm::vec3(0.0F)) return normal;
    object.fields.error("aim", {"the card stands between `from` and `to`, or on one of them",
                                "no turn of it sends that light there", "move the card"});
    return {};
}

}  // namespace

std::optional<Aim> aimOf(Draft& draft, Object& object, glm::vec3 at_m,
                         std::optional<glm::vec3> fallback) {
    const Fields& fields = object.fields;
    if (fields.bad("aim")) return {};
    const Value* aim = fields.value("aim");
    if (aim != nullptr && aim->isTable()) {
        const auto normal = mirrorAim(draft, object, at_m);
        return normal ? std::optional<Aim>({*normal, 0.0}) : std::nullopt;
    }
    std::optional<glm::vec3> target = object.aroundPoint_m ? object.aroundPoint_m : fallback;
    if (aim != nullptr)
        target = resolveTarget(draft, fields, "aim");
    else if (target)
        fields.recordDefault("aim", shownCm(*target));
    else
        draft.messages().error(fields.place(),
                               {fields.label() + " is placed by `at` and has no aim",
                                "needed: aim = [x, y, z] or a name",
                                {}});
    if (!target) return {};
    const glm::vec3 way = *target - at_m;
    const double distance_m = static_cast<double>(glm::length(way));
    if (distance_m > kNearest_m) return Aim{way / static_cast<float>(distance_m), distance_m};
    draft.messages().error(
        fields.placeOf("aim"),
        {fields.label() + " aims at its own place", "needed: a point elsewhere", {}});
    return {};
}

Object* namedObject(Draft& draft, const Fields& fields, std::string_view key,
                    std::string_view kinds) {
    if (!fields.sound(key)) return nullptr;
    const std::string name = fields.text(key);
    std::vector<std::string> names;
    for (const std::string& kind : splitWords(kinds))
        for (Object* object : draft.all(kind)) {
            if (object->name == name) return object;
            names.push_back(object->name);
        }
    const std::string wanted = joined(splitWords(kinds), " or ");
    fields.error(key, {fmt::format("there is no {} \"{}\"", wanted, name),
                       names.empty() ? fmt::format("the file has no {}", wanted)
                                     : "known here: " + joined(names),
                       didYouMean(name, names)});
    return nullptr;
}

}  // namespace keyfall
