#include "page_json.h"

#include <fmt/core.h>

#include <cmath>
#include <cstdlib>

#include "equal_exposure.h"
#include "json_numbers.h"
#include "page_plan.h"
#include "renderer/photograph/exposure.h"
#include "renderer/photograph/flash_cut.h"
#include "renderer/transport/layers.h"
#include "report.h"
#include "scene/photo.h"
#include "scene/third_stops.h"

namespace keyfall {
namespace {

/// Nine digits name a float; more would only make the page longer.
Json nine(double x) {
    return std::isfinite(x) ? Json(std::strtod(fmt::format("{:.9g}", x).c_str(), nullptr)) : Json(nullptr);
}

Json xyzJson(const BandXYZ& bands) {
    Json rows = Json::array({Json::array(), Json::array(), Json::array()});
    for (const glm::dvec3& xyz : bands.xyz)
        for (int c = 0; c < 3; ++c) rows[static_cast<std::size_t>(c)].push_back(nine(xyz[c]));
    return rows;
}

Json compensationJson(const Compensation& c) {
    Json j{{"by", nameOf(c.by)}};
    put(j, "stops", c.stops);
    j["impossible"] = c.impossible;
    j["reached"] = c.reached();
    j["lamps"] = c.lamps;
    j["beyond"] = Json::array();
    for (const Compensation::Beyond& b : c.beyond)
        j["beyond"].push_back({{"lamp", b.lamp}, {"stops", b.stops}});
    return j;
}

Json engravedJson(const Engraved& e, const std::string& text) {
    return {{"written", e.asWritten}, {"exact", e.exact}, {"text", text}};
}
Json apertureJson(const Engraved& e) {
    return engravedJson(e, fmt::format("f/{:g}", e.asWritten));
}
Json shutterJson(const Engraved& e) {
    return engravedJson(e, shutterText(e.asWritten));
}
Json isoJson(const Engraved& e) {
    return engravedJson(e, fmt::format("ISO {:g}", e.asWritten));
}

std::string whiteText(const Scene& scene) {
    const auto& white = scene.camera.whiteBalance;
    if (const auto* kelvin = std::get_if<double>(&white)) return fmt::format("{:.0f} K", *kelvin);
    if (const auto* light = std::get_if<std::size_t>(&white)) return "as " + scene.lights.at(*light).name;
    return "auto";
}

Json cameraJson(const ComparedVariant& v) {
    const Camera& c = v.set.scene.camera;
    Json j{{"aperture", apertureJson(c.aperture)},
           {"shutter", shutterJson(c.shutter_s)},
           {"iso", isoJson(c.iso)},
           {"focal_length_mm", c.focalLength_m * 1e3},
           {"focus_cm", c.focusDistance_m * 1e2},
           {"white", whiteText(v.set.scene)},
           {"sync_s", c.flashSync_s},
           {"curtain_at", flashCutOf(c).atRight ? "right" : "bottom"},
           {"close_up_stops", c.closeUpCompensated ? 0.0 : closeUp_stops(c)},
           {"calibration_stops", c.calibration_stops}};
    // Row by row: linear sRGB of the picture per cd s/m^2.
    const glm::dmat3 m = pictureFactor(c) * balancedSrgbFromXyz(v.white);
    j["srgb_from_xyz"] = Json::array();
    for (int row = 0; row < 3; ++row) j["srgb_from_xyz"].push_back({m[0][row], m[1][row], m[2][row]});
    return j;
}

Json lightJson(const Light& l) {
    return {{"name", l.name},
            {"caption", l.caption},
            {"kind", l.kind == LightKind::flash ? "flash" : "continuous"},
            {"on", l.on},
            {"power_stops", number(l.power_stops)},
            {"lowest_stops", l.lowestPower_stops ? number(*l.lowestPower_stops) : Json(nullptr)},
            {"colour_temperature", number(l.colourTemperature_K)},
            {"gels", l.gels},
            {"modifier", l.modifier},
            {"exit_cm", l.exitDistance_m * 1e2},
            {"lamp_cm", l.lampDistance_m * 1e2}};
}

Json layersJson(const ComparedVariant& v) {
    const Scene& scene = v.set.scene;
    const char* kinds[] = {"light", "ambient", "glow"};
    const std::vector<LayerInfo> infos = layerInfos(scene);
    const std::vector<LayerMix> perSecond = mixAsSet(scene, 1.0);
    Json j = Json::array();
    for (std::size_t l = 0; l < infos.size(); ++l) {
        const bool light = infos[l].kind == LayerKind::light;
        Json layer{{"name", infos[l].name}, {"kind", kinds[static_cast<int>(infos[l].kind)]}};
        layer["flash"] = light && scene.lights[l].kind == LightKind::flash;
        layer["full"] = number(light ? scene.lights[l].fullFlux : perSecond[l].amount);
        layer["xyz"] = xyzJson(v.mix[l].bands);
        j.push_back(layer);
    }
    return j;
}

Json probeJson(const ProbeReading& r, const std::vector<LayerMix>& mix) {
    const char* kinds[] = {"incident", "dome", "spot"};
    Json j{{"name", r.name},
           {"kind", kinds[static_cast<int>(r.probe->kind)]},
           {"bands", Json::array()},
           {"replicates", Json::array()}};
    static const std::vector<ReplicateBands> kNone;
    const std::vector<ReplicateBands>& layers = r.transfer ? r.transfer->layer : kNone;
    for (std::size_t l = 0; l < layers.size(); ++l) {
        Json bands = Json::array(), replicates = Json::array();
        for (int b = 0; b < kBands; ++b) {
            double mean = 0.0;
            for (const Bands& one : layers[l]) mean += static_cast<double>(one[b]) / kReplicates;
            bands.push_back(nine(mean));
        }
        const Bands weights = mix[l].bands.luminance();
        for (const Bands& one : layers[l])
            replicates.push_back(nine(static_cast<double>(dot(weights, one))));
        j["bands"].push_back(bands);
        j["replicates"].push_back(replicates);
    }
    return j;
}

template <class ToJson>
Json seriesJson(const std::vector<Engraved>& series, ToJson toJson) {
    Json j = Json::array();
    for (const Engraved& e : series) j.push_back(toJson(e));
    return j;
}

}  // namespace

nlohmann::ordered_json variantJson(const ComparedVariant& v) {
    Json j{{"name", v.name}, {"caption", v.caption}, {"changes", Json::array()}};
    for (const auto& [key, value] : v.changes) j["changes"].push_back({key, value});
    j["compensation"] = compensationJson(v.compensation);
    j["cautions"] = Json::array();
    for (const Warning& w : v.set.scene.warnings)
        if (isOfExposure(w)) j["cautions"].push_back(w.text);
    j["camera"] = cameraJson(v);
    j["lights"] = Json::array();
    for (const Light& l : v.set.scene.lights) j["lights"].push_back(lightJson(l));
    j["layers"] = layersJson(v);
    j["probes"] = Json::array();
    for (const ProbeReading& r : v.set.report.readings) j["probes"].push_back(probeJson(r, v.mix));
    j["plan"] = planJson(v.set.scene);
    j["report"] = jsonOf(v.set.report);
    return j;
}

nlohmann::ordered_json conventionsJson() {
    Json j{{"C", kMeterC_flat},
           {"C_dome", kMeterC_dome},
           {"K", kMeterK},
           {"grey", kMidGrey},
           {"clip", kPictureClip}};
    j["apertures"] = seriesJson(thirdStopApertures({1.0, 64.1}), apertureJson);
    j["shutters"] = seriesJson(thirdStopShutters({1.0 / 8200.0, 33.0}), shutterJson);
    j["isos"] = seriesJson(thirdStopIsos({25.0, 26000.0}), isoJson);
    constexpr int kFirst = -4, kLast = 24;  // f/0.25 ... f/4096: no reading of a set lies outside
    j["first_stop"] = kFirst;
    j["stops"] = Json::array();
    for (int stop = kFirst; stop <= kLast; ++stop)
        j["stops"].push_back(apertureReading(std::exp2(stop / 2.0)));
    j["colours"] = Json::array();
    for (const double kelvin : {2700., 3000., 3200., 3500., 4000., 4500., 5000., 5600., 6500., 7500., 10000.})
        j["colours"].push_back({{"kelvin", kelvin}, {"xyz", xyzJson(bandXYZ(lampSpectrum(kelvin)))}});
    return j;
}

LayerMix fullMix(const ComparedVariant& v, std::size_t layer) {
    const Scene& scene = v.set.scene;
    LayerMix mix = v.mix[layer];
    if (layer >= scene.lights.size()) {
        mix.amount = mixAsSet(scene, scene.camera.shutter_s.exact)[layer].amount;
        return mix;
    }
    const Light& light = scene.lights[layer];
    mix.amount = light.fullFlux * (light.kind == LightKind::flash ? 1.0 : scene.camera.shutter_s.exact);
    return mix;
}

}  // namespace keyfall
