// Ratings with a modifier, variants, measured lamps, and lights as objects, through the program.
// Not here: what modifiers do to the light (modifier_trade_test.cpp).
#include <map>
#include <tuple>

#include "scene_law.h"

using namespace keyfall::test;

namespace {

nlohmann::json lampOf(const std::string& arguments, const std::filesystem::path& folder) {
    const Outcome o =
        runProgram("lamp " + arguments + " --quiet --json -", folder, beforeProgram());
    INFO(o.err);
    REQUIRE(o.exitCode == 0);
    return nlohmann::json::parse(o.out).at("lamp");
}

/// The text of tests/scenes/rated_head.toml, its strength said otherwise and the modifier `worn`.
std::string ratedHead(const std::string& strength, const std::string& worn,
                      const std::string& kind = "flash") {
    std::string text = textOf(KEYFALL_TESTS + std::string("/scenes/rated_head.toml"));
    const auto put = [&text](const std::string& old, const std::string& by) {
        const auto at = text.find(old);
        REQUIRE(at != std::string::npos);
        text.replace(at, old.size(), by);
    };
    put("lumen_seconds = 5000", strength);
    put("modifier = \"none\"", "modifier = \"" + worn + "\"");
    put("kind = \"flash\"", "kind = \"" + kind + "\"");
    return text;
}

}  // namespace

TEST_CASE("a lamp rated with a bowl and then used bare is the bare lamp", "[law][modifier][long]") {
    // The circle: a known flux, the figure that the bowl makes of it as metered, and back. Bare, a
    // ball's light is Q/(4 pi d^2) (closed form). A guide number is N d with N^2 = H S/C (ISO 2720,
    // C = 250), a meter that reads N got H = N^2 C/S.
    const auto folder = freshFolder("law-rated-bowl");
    const auto metered = [&](const std::string& strength, const std::string& worn,
                             const std::string& kind, const std::string& probe) {
        write(folder / "set.toml", ratedHead(strength, worn, kind));
        const auto report =
            meterFile(folder / "set.toml", folder, {}, "--quality final --samples 16384 --seed 3");
        return probeOf(report, probe)
            .at(kind == "flash" ? "exposure_lx_s" : "illuminance_lx")
            .get<double>();
    };
    const double bare = 5000.0 / (4.0 * kPi);

    const double lux = metered("lumens = 5000", "cone", "continuous", "near");
    const double fromLux =
        metered("rated_with = \"cone\"\nlux_at_1m = " + number(lux), "none", "continuous", "near");

    // At 2 m from the mouth, by a meter that shows f-numbers.
    const double aperture =
        std::sqrt(metered("lumen_seconds = 5000", "cone", "flash", "far") * 100.0 / 250.0);
    const double fromReading =
        metered("rated_with = \"cone\"\nreads = { aperture = " + number(aperture) +
                    ", iso = 100, distance = 200 }",
                "none", "flash", "near");

    write(folder / "set.toml", ratedHead("lumen_seconds = 5000", "cone"));
    const double guide = lampOf("set.toml", folder).at("guide_number");
    const double fromGuide =
        metered("rated_with = \"cone\"\nguide_number = " + number(guide), "none", "flash", "near");

    INFO("in the bowl " << lux << " lx at 1 m, f/" << aperture << " at 2 m, guide number " << guide
                        << "; bare by them " << fromLux << ", " << fromReading << ", " << fromGuide
                        << ", exact " << bare);
    CHECK(lux > 1.3 * bare);  // the bowl does something
    for (const double found : {fromLux, fromReading, fromGuide})
        CHECK(std::abs(std::log2(found / bare)) < 0.01);
}

TEST_CASE("the order of variants does not matter", "[law][modifier][long]") {
    // No source: what a set gives follows from the set. Tables and fluxes that are kept from one
    // variant must not show in the next: three orders, each variant first in one of them, each
    // order from an empty cache, give equal bytes.
    const std::vector<std::string> orders[] = {
        {"none", "cone", "box"}, {"box", "cone", "none"}, {"cone", "none", "box"}};
    std::map<std::string, std::string> first;
    const auto folder = freshFolder("law-variants");
    write(folder / "set.toml", ratedHead("rated_with = \"cone\"\nguide_number = 40", "none"));
    for (const auto& order : orders) {
        std::filesystem::remove_all(folder / "cache");
        for (const std::string& worn : order) {
            const Outcome o = runProgram(
                "meter set.toml --quiet --quality draft --json - --set light.key.modifier=" + worn,
                folder, "XDG_CACHE_HOME='" + (folder / "cache").string() + "'");
            REQUIRE(o.exitCode == 0);
            if (first[worn].empty()) first[worn] = o.out;
            INFO(worn);
            CHECK((o.out == first[worn]));  // in one pair: the texts are long
        }
    }
    CHECK(first["none"] != first["cone"]);
    CHECK(first["box"] != first["cone"]);
}

TEST_CASE("a measured lamp: lux is candela over the square of the distance", "[law][modifier]") {
    // Lambertian, 1000 cd on the axis, its opening a disc of 18 cm. At 1 m E = pi L R^2/(R^2 + d^2)
    // with L = I/(pi R^2), which is I/(d^2 + R^2): 0.8 % under I/d^2 (Howell B-12). Degree by
    // degree, linear in between: within 4e-5 of the cosine. Aside, on the floor's cosine-law lamp:
    // I cos^4 / d^2.
    const auto folder = freshFolder("law-measured");
    std::string angles, candelas;
    for (int degree = 0; degree <= 90; ++degree) {
        angles += std::to_string(degree) + (degree % 10 == 9 ? "\n" : " ");
        candelas +=
            number(1000.0 * std::cos(degree * kPi / 180.0)) + (degree % 8 == 7 ? "\n" : " ");
    }
    write(folder / "flat.ies",
          "IESNA:LM-63-2002\n[TEST] none\n[TESTLAB] none\n[ISSUEDATE] none\n[MANUFAC] "
          "none\nTILT=NONE\n"
          "1 -1 1 91 1 1 2 -0.18 -0.18 0\n1 1 60\n" +
              angles + "\n0\n" + candelas + "\n");
    write(folder / "set.toml", textOf(KEYFALL_TESTS + std::string("/scenes/measured.toml")));
    const auto report = meterFile(folder / "set.toml", folder, {}, "--quality final");
    checkReading(probeOf(report, "near"), "illuminance_lx", 1000.0 / (1.0 + 0.09 * 0.09));
    const double cos2 = 9.0 / (9.0 + 4.0);  // 3 m off, 2 m aside
    checkReading(probeOf(report, "aside"), "illuminance_lx", 1000.0 / 9.0 * cos2 * cos2, 0.005,
                 1e-3);
}

TEST_CASE("a lamp's own LM-63 file lights like the lamp", "[law][modifier][long]") {
    // A file reckons from the exit. At 3 m a box and a bare ball do the same; a bowl's bulb is 9 cm
    // behind its mouth, 2 log2(3.09/3) = .085 stop of its own light, so it is asked at 6 m (.043
    // stop of a third).
    const auto folder = freshFolder("law-own-file");
    // An open bowl has finer directions than a diffuser: more points.
    const std::tuple<const char*, const char*, const char*> rows[] = {
        {"none", "[0, 0, 300]", "draft"},
        {"box", "[0, 0, 300]", "draft"},
        {"cone", "[0, 0, 600]", "preview"}};
    std::string text = textOf(KEYFALL_TESTS + std::string("/scenes/measured.toml"));
    text.replace(text.find("flat.ies"), 8, "head.ies");
    write(folder / "measured.toml", text);
    for (const auto& [modifier, place, quality] : rows) {
        write(folder / "set.toml", ratedHead("lumens = 5000", modifier, "continuous"));
        lampOf("set.toml --ies head.ies --quality " + std::string(quality), folder);
        const auto near_lx = [&, at = place](const char* file, const std::string& light) {
            const auto report = meterFile(folder / file, folder, {"light." + light + ".at=" + at},
                                          "--samples 16384");
            return probeOf(report, "near").at("illuminance_lx").get<double>();
        };
        const double itself = near_lx("set.toml", "key"), byFile = near_lx("measured.toml", "lamp");
        INFO(modifier << ": " << itself << " lx, by its file " << byFile << ", "
                      << std::log2(byFile / itself) << " stop");
        CHECK(std::abs(std::log2(byFile / itself)) < 0.02);
    }
}

TEST_CASE("a light that is off blocks, and reflects what another lamp sends",
          "[law][modifier][long]") {
    // The other lamp (1000 lm) stands behind the receptor's plane: it is seen by reflection alone.
    // The front is Lambertian with rho .57, tau .354; whatever light passes it comes back at most
    // as that of a loss-free box, rho + tau^2/(1 - rho) = .861 in all. Each times int I/pi cos/d1^2
    // cos cos/d2^2 dA.
    constexpr int n = 200;
    double perReflectance = 0.0;
    for (int i = 0; i < n; ++i)
        for (int j = 0; j < n; ++j) {
            const double x = 0.6 * ((i + 0.5) / n - 0.5), y = 0.6 * ((j + 0.5) / n - 0.5);
            const double d1 = (x - 0.3) * (x - 0.3) + y * y + 0.36, d2 = x * x + y * y + 0.25;
            perReflectance += 1000.0 / (4.0 * kPi) / kPi * 0.6 / std::pow(d1, 1.5) * 0.25 /
                              (d2 * d2) * 0.36 / (n * n);
        }
    const auto by = [](const std::string& light, const std::string& modifier, const std::string& on,
                       const std::string& other) {
        const auto report = meterScene(
            "off_box",
            {"light.box.modifier=" + modifier, "light.box.on=" + on, "light.other.at=" + other}, 1,
            "final --samples 65536");
        for (const auto& share : probeOf(report, "label").at("by_light"))
            if (share.at("light") == light) return share.at("illuminance_lx");
        throw std::runtime_error("no light " + light);
    };
    const std::string behindReceptor = "[30, 0, -10]", behindBox = "[10, 0, 200]";
    const double reflected = by("other", "box", "false", behindReceptor);
    INFO(reflected << " lx, " << reflected / perReflectance << " of what a white front would send");
    CHECK(reflected > 0.57 * 0.97 * perReflectance);
    CHECK(reflected < 0.861 * perReflectance);
    CHECK(by("other", "none", "false", behindReceptor).is_null());  // nothing there to reflect
    // Another lamp's light does not depend on this one's being on; and off is dark.
    CHECK(by("other", "box", "true", behindReceptor).get<double>() == reflected);
    CHECK(by("box", "box", "true", behindReceptor).get<double>() > 50.0);
    CHECK(by("box", "box", "false", behindReceptor).get<double>() == 0.0);
    // From behind the box: its black back stops what the bare head lets pass (1.5 cm of it, 5 cm
    // aside).
    const double d2 = 4.01;
    CHECK(by("other", "none", "false", behindBox).get<double>() ==
          Approx(1000.0 / (4.0 * kPi) * 2.0 / std::pow(d2, 1.5)).epsilon(1e-3));
    CHECK(by("other", "box", "false", behindBox).is_null());
}
