// The report as JSON: README, "Commands". A missing reading is null, never 0.
#include "json_numbers.h"
#include "renderer/photograph/exposure.h"
#include "renderer/photograph/sharpness.h"
#include "report.h"
#include "report_sharp.h"
#include "report_colour.h"
#include "report_edges.h"
#include "report_frame.h"
#include "report_exposure.h"
#include "report_motion.h"
#include "scene/photo.h"

namespace keyfall {
namespace {

const char* nameOf(ProbeKind kind) {
    switch (kind) {
        case ProbeKind::incident: return "incident";
        case ProbeKind::dome: return "dome";
        case ProbeKind::spot: return "spot";
    }
    return "?";
}

Json pictureJson(const Report& report) {
    const RenderResult& p = *report.picture;
    Json j;
    j["width"] = report.scene.picture.width_px;
    j["height"] = report.scene.picture.height_px;
    j["samples"] = p.samples;
    j["noise_stops"] = number(p.noise_stops);
    j["seconds"] = p.seconds;
    j["rays"] = p.counters.rays;
    Json caustic = Json::array();
    const auto infos = layerInfos(report.scene);
    for (std::size_t l = 0; l < infos.size(); ++l)
        caustic.push_back({{"layer", infos[l].name}, {"share", number(p.causticShare[l])}});
    j["caustic"] = caustic;
    return j;
}

Json cameraJson(const Scene& scene) {
    const Camera& c = scene.camera;
    const double m = magnification(c.focalLength_m, c.focusDistance_m);
    return {{"aperture", c.aperture.asWritten},
            {"aperture_exact", c.aperture.exact},
            {"shutter_s", c.shutter_s.exact},
            {"iso", c.iso.asWritten},
            {"iso_exact", c.iso.exact},
            {"focal_length_mm", c.focalLength_m * 1e3},
            {"focus_cm", c.focusDistance_m * 1e2},
            {"focus_from_sensor_cm", sharpnessOf(scene).fromSensor_m * 1e2},
            {"magnification", m},
            {"effective_aperture", effectiveApertureOf(c)},
            {"circle_of_confusion_mm", c.circleOfConfusion_m * 1e3}};
}

Json lightJson(const Light& l) {
    Json j;
    const bool flash = l.kind == LightKind::flash;
    j["name"] = l.name;
    j["kind"] = flash ? "flash" : "continuous";
    j["on"] = l.on;
    j["lumens"] = flash ? Json(nullptr) : number(l.fluxAsSet());
    j["lumen_seconds"] = flash ? number(l.fluxAsSet()) : Json(nullptr);
    j["power"] = l.powerText;
    j["power_stops"] = number(l.power_stops);
    j["colour_temperature"] = number(l.colourTemperature_K);
    j["gels"] = l.gels;
    j["modifier"] = l.modifier;
    j["exit_cm"] = l.exitDistance_m * 1e2;
    j["lamp_cm"] = l.lampDistance_m * 1e2;
    return j;
}

/// The continuous light of a probe, or of one light there, and the whole exposure.
void putLight(Json& j, bool spot, bool missing, const Reading& continuous, const Reading& exposure) {
    const char* steady = spot ? "luminance_cd_m2" : "illuminance_lx";
    const char* whole = spot ? "luminous_energy_cd_s_m2" : "exposure_lx_s";
    if (missing) {
        putNull(j, steady);
        putNull(j, whole);
        return;
    }
    put(j, steady, continuous);
    put(j, whole, exposure);
}

Json probeJson(const Report& report, const ProbeReading& r) {
    const bool spot = r.probe->kind == ProbeKind::spot;
    Json j;
    j["name"] = r.name;
    j["kind"] = nameOf(r.probe->kind);
    if (spot) {
        putNull(j, "illuminance_lx");
        putNull(j, "exposure_lx_s");
    } else {
        putLight(j, spot, r.missing, r.continuous, r.exposure);
    }
    j["by_light"] = Json::array();
    for (const LightShare& s : r.byLight) {
        Json light;
        light["light"] = s.light;
        putLight(light, spot, r.missing, s.continuous, s.exposure);
        j["by_light"].push_back(light);
    }
    j["by_board"] = Json::array();
    for (const BoardShare& b : r.byBoard) {
        Json board;
        board["board"] = b.board;
        put(board, "share", b.share_percent);
        put(board, "lifts_stops", b.lifts_stops);
        j["by_board"].push_back(board);
    }
    put(j, "aperture_for_correct_exposure", r.aperture);
    j["reading"] = r.aperture ? Json(apertureReading(r.aperture->value)) : Json(nullptr);
    if (report.scene.hasCamera) {
        put(j, "stops_over", r.stopsOver);
        put(j, "picture_stops_over", r.pictureStopsOver);
        j["close_up_stops"] = r.missing ? Json(nullptr) : Json(r.closeUp_stops);
    }
    putAmbient(j, report, r);
    if (spot) {
        putLight(j, spot, r.missing, r.continuous, r.exposure);
    } else {
        putNull(j, "luminance_cd_m2");
        putNull(j, "luminous_energy_cd_s_m2");
    }
    j["caustic_share"] = r.missing ? Json(nullptr) : number(r.causticShare);
    const double sum = r.missing ? 0.0 : r.xyz.x + r.xyz.y + r.xyz.z;
    j["chromaticity_xy"] = sum > 0.0 ? Json::array({r.xyz.x / sum, r.xyz.y / sum}) : Json(nullptr);
    j["points"] = r.points * static_cast<unsigned>(kReplicates);
    return j;
}

Json ratioJson(const RatioReading& r) {
    Json j;
    j["lit"] = r.lit;
    j["shadow"] = r.shadow;
    put(j, "stops", r.stops);
    put(j, "kf_f", r.kf_f);
    put(j, "k_f", r.k_f);
    return j;
}

Json clippingJson(const ClippingShares& c) {
    const bool product = c.productCoverage > 0.0;
    const auto ofProduct = [&](double share) { return product ? Json(share) : Json(nullptr); };
    Json j = {{"picture", c.picture},
              {"raw", c.raw},
              {"product", ofProduct(c.product)},
              {"diffuse", ofProduct(c.diffuse)},
              {"specular", ofProduct(c.specular)},
              {"by_light", Json::array()}};
    for (const ClippingLight& l : c.byLight) j["by_light"].push_back({{"light", l.name}, {"share", l.share}});
    return j;
}

}  // namespace

nlohmann::ordered_json jsonOf(const Report& report) {
    const Scene& scene = report.scene;
    Json j;
    j["program"] = "keyfall";
    j["schema"] = 1;
    j["version"] = KEYFALL_VERSION;
    j["scene"] = scene.file.string();
    j["title"] = scene.title;
    j["seed"] = report.seed;
    j["stopped"] = stoppedJson(report.stopped);
    if (report.picture) j["picture"] = pictureJson(report);
    j["conventions"] = {{"C", kMeterC_flat}, {"C_dome", kMeterC_dome}, {"K", kMeterK}};
    if (scene.hasCamera) j["camera"] = cameraJson(scene);
    else j["meter"] = {{"shutter_s", scene.camera.shutter_s.exact}, {"iso", scene.camera.iso.asWritten}};
    j["lights"] = Json::array();
    for (const Light& l : scene.lights) j["lights"].push_back(lightJson(l));
    j["probes"] = Json::array();
    for (const ProbeReading& r : report.readings) j["probes"].push_back(probeJson(report, r));
    j["ratios"] = Json::array();
    for (const RatioReading& r : ratiosOf(report.readings)) j["ratios"].push_back(ratioJson(r));
    if (const ProbeReading* spot = backgroundOf(report)) {
        put(j["background"], "stops_from_grey", spot->pictureStopsOver);
        j["background"]["srgb"] = codesOf(report, *spot);
        putAmbient(j["background"], report, *spot);
        if (report.picture) put(j["background"], "evenness_stops", report.evenness_stops);
    }
    if (report.seen) j["product"] = frameJson(report);
    if (report.edges) j["edges"] = edgesJson(report);
    if (report.clipping) j["clipping"] = clippingJson(*report.clipping);
    if (scene.hasCamera) j["depth_of_field"] = depthJson(report);
    if (report.seen) j["in_frame"] = inFrameJson(report), j["mirrors"] = mirrorsJson(report);
    putFlash(j, report);
    putMotion(j, report);
    putColour(j, report);
    if (scene.hasCamera) j["sensor"] = sensorJson(report);
    if (report.detail) j["detail"] = detailJson(report);
    j["warnings"] = Json::array();
    const auto warn = [&](const std::vector<Warning>& warnings) {
        for (const Warning& w : warnings) j["warnings"].push_back({{"code", w.code}, {"text", w.text}});
    };
    warn(scene.warnings);
    warn(warningsFromNumbers(report));
    return j;
}

}  // namespace keyfall
