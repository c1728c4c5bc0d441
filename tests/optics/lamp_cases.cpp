// Lamps and viewpoints that every lamp test runs over. Not here: the checks.
#include "tests/optics/lamp_cases.h"

namespace keyfall::test {

LampShape tiltedLamp(LampKind kind, float a_m, float b_m, bool bothSides) {
    LampShape lamp;
    lamp.kind = kind;
    lamp.a_m = a_m;
    lamp.b_m = b_m;
    lamp.bothSides = bothSides;
    lamp.centre_m = {0.3F, 0.7F, -0.2F};
    lamp.frame = frameAround(glm::normalize(glm::vec3(0.48F, -0.6F, 0.64F)));
    return lamp;
}

glm::vec3 besideLamp(const LampShape& lamp, glm::vec3 local_m) {
    return lamp.centre_m + lamp.frame.toWorld(local_m);
}

namespace {

struct Row {
    const char* name;
    LampKind kind;
    float a_m, b_m;
    bool bothSides;
    glm::vec3 local_m;
};

const Row kRows[] = {
    {"sphere 3 cm at 50 cm", LampKind::sphere, 0.03F, 0, false, {0.3F, -0.2F, 0.346F}},
    {"sphere 30 cm, 1 mm off", LampKind::sphere, 0.3F, 0, false, {0.0F, 0.1208F, 0.0906F}},
    {"tube 20 cm at 40 cm", LampKind::tube, 0.2F, 0.02F, false, {0.1F, 0.25F, 0.3F}},
    {"tube 20 cm, past its end", LampKind::tube, 0.2F, 0.04F, false, {0.3F, 0.02F, 0.03F}},
    {"tube 20 cm, on its axis", LampKind::tube, 0.2F, 0.04F, false, {0.25F, 0.0F, 0.0F}},
    {"tube 1.2 m, 2 cm off", LampKind::tube, 1.2F, 0.026F, false, {0.3F, 0.033F, 0.0F}},
    {"tube like a puck, grazing its cap", LampKind::tube, 0.04F, 0.1F, false, {0.021F, 0.15F, 0.1F}},
    {"ring 20 cm at 40 cm", LampKind::ring, 0.2F, 0.02F, false, {0.1F, 0.2F, 0.33F}},
    {"ring on its axis", LampKind::ring, 0.2F, 0.04F, false, {0.0F, 0.0F, 0.25F}},
    {"ring from inside its hole", LampKind::ring, 0.2F, 0.06F, false, {0.03F, 0.01F, 0.005F}},
    {"ring edge-on", LampKind::ring, 0.2F, 0.05F, false, {0.4F, 0.1F, 0.004F}},
    {"fat ring, slanting", LampKind::ring, 0.2F, 0.16F, false, {0.1F, 0.15F, 0.12F}},
    {"disc 18 cm at 30 cm", LampKind::disc, 0.18F, 0, false, {0.1F, 0.1F, 0.26F}},
    {"disc 18 cm, grazing", LampKind::disc, 0.18F, 0, false, {0.3F, 0.1F, 0.02F}},
    {"disc, behind, both sides", LampKind::disc, 0.3F, 0, true, {0.1F, -0.1F, -0.2F}},
    {"panel 60 x 40 at 50 cm", LampKind::panel, 0.6F, 0.4F, false, {0.2F, 0.3F, 0.4F}},
    {"panel 60 x 40, under a corner", LampKind::panel, 0.6F, 0.4F, false, {0.3F, 0.2F, 0.15F}},
    {"panel 60 x 40, 2 cm off", LampKind::panel, 0.6F, 0.4F, false, {0.1F, -0.05F, 0.02F}},
    {"panel 60 x 40, grazing", LampKind::panel, 0.6F, 0.4F, false, {0.5F, 0.1F, 0.05F}},
    {"panel far, by area", LampKind::panel, 0.3F, 0.2F, false, {0.5F, 0.4F, 1.8F}},
    {"panel, behind, both sides", LampKind::panel, 0.6F, 0.4F, true, {-0.2F, 0.1F, -0.25F}},
};

}  // namespace

const std::vector<LampCase>& lampCases() {
    static const std::vector<LampCase> cases = [] {
        std::vector<LampCase> all;
        for (const Row& row : kRows) {
            LampCase c{row.name, tiltedLamp(row.kind, row.a_m, row.b_m, row.bothSides), {}, {}};
            c.point_m = besideLamp(c.lamp, row.local_m);
            // a receiver turned 40 degrees or so away from the lamp
            const glm::vec3 toward = glm::normalize(c.lamp.centre_m - c.point_m);
            c.normal = glm::normalize(toward + 0.8F * frameAround(toward).x);
            all.push_back(c);
        }
        return all;
    }();
    return cases;
}

}  // namespace keyfall::test
