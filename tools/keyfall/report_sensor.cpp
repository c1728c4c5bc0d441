#include "report_sensor.h"

#include <fmt/core.h>

#include <cmath>
#include <numbers>

#include "json_numbers.h"
#include "renderer/photograph/noise.h"
#include "report.h"
#include "scene/photo.h"

namespace keyfall {
namespace {

/// At one speed: a grey card that the picture shows at 18 %, in light that it is balanced for.
struct GreyFigures {
    SensorAtSpeed sensor;
    glm::dvec3 grey_e{0.0};
    double snr_dB = 0.0;    ///< of the green pixel, which carries most of the luminance
    double grain_stops = 0.0;  ///< one standard deviation of it
};

GreyFigures greyFigures(const Report& report, const Camera& camera) {
    const FineSpectrum white = whiteSpectrum(camera, report.scene.lights, automaticWhite(report.readings));
    GreyFigures f;
    f.sensor = sensorAsSet(camera);
    f.grey_e = electronsAtPicture(camera, white, kMidGrey);
    f.snr_dB = snr_db(f.grey_e.y, f.sensor.readNoise_e);
    f.grain_stops = std::pow(10.0, -f.snr_dB / 20.0) / std::numbers::ln2;  // d(log2 e) = de / (e ln 2)
    return f;
}

/// The same picture at the base speed: as much more light as the speed is lower.
GreyFigures atBaseSpeed(const Report& report) {
    Camera camera = report.scene.camera;
    camera.iso = {camera.electronics.baseIso, camera.electronics.baseIso};
    return greyFigures(report, camera);
}

bool isBaseSpeed(const Camera& camera) {
    return std::abs(std::log2(camera.iso.exact / camera.electronics.baseIso)) < 0.01;
}

std::string rangeText(double stops) {
    return std::isfinite(stops) ? fmt::format("{:.1f} stops", stops) : std::string("no read noise");
}

}  // namespace

nlohmann::ordered_json sensorJson(const Report& report) {
    const Camera& camera = report.scene.camera;
    const SensorModel& model = camera.electronics;
    const GreyFigures f = greyFigures(report, camera), base = atBaseSpeed(report);
    Json j = {{"pixels", {model.pixels.x, model.pixels.y}},
              {"pixel_um", std::sqrt(pixelArea_m2(camera)) * 1e6},
              {"full_well_e", model.fullWell_e},
              {"read_noise_e", model.readNoise_e},
              {"quantum_efficiency", model.quantumEfficiency},
              {"base_iso", model.baseIso},
              {"electrons_at_grey", {{"red", f.grey_e.x}, {"green", f.grey_e.y}, {"blue", f.grey_e.z}}},
              {"snr_at_grey_db", number(f.snr_dB)},
              {"grain_at_grey_stops", number(f.grain_stops)},
              {"range_stops", number(range_stops(f.sensor))},
              {"saturation_e", f.sensor.saturation_e},
              {"saturated_by", f.sensor.wellLimits ? "well" : "converter"},
              {"snr_at_grey_base_iso_db", number(base.snr_dB)},
              {"range_base_iso_stops", number(range_stops(base.sensor))}};
    if (report.fullPixels) j["raw_full"] = *report.fullPixels;
    return j;
}

nlohmann::ordered_json detailJson(const Report& report) {
    const DetailReport& d = *report.detail;
    return {{"x", d.first_px.x},   {"y", d.first_px.y},   {"width", d.size_px.x},
            {"height", d.size_px.y}, {"samples", d.samples}, {"noise_stops", number(d.noise_stops)}};
}

std::string sensorLines(const Report& report) {
    const Camera& camera = report.scene.camera;
    const GreyFigures f = greyFigures(report, camera);
    std::string text = fmt::format("sensor         18 % grey {:.0f} electrons (green), signal to noise {:.1f} dB; range {}",
                                   f.grey_e.y, f.snr_dB, rangeText(range_stops(f.sensor)));
    if (!isBaseSpeed(camera)) {
        const GreyFigures base = atBaseSpeed(report);
        text += fmt::format(" (ISO {:g}: {:.1f} dB, {})", camera.electronics.baseIso, base.snr_dB,
                            rangeText(range_stops(base.sensor)));
    }
    text += "\n";
    if (report.detail && report.detail->samples > 0)
        text += fmt::format("detail         {} x {} sensor pixels from {}, {}; grain at grey {:.3f} stop, the calculation's own noise {:.3f}\n",
                            report.detail->size_px.x, report.detail->size_px.y, report.detail->first_px.x,
                            report.detail->first_px.y, f.grain_stops, report.detail->noise_stops);
    return text;
}

void warnOfSensor(const Report& report, std::vector<Warning>& warnings) {
    const Camera& camera = report.scene.camera;
    const double base = camera.electronics.baseIso;
    if (camera.iso.exact < base && !isBaseSpeed(camera))
        warnings.push_back({"iso-below-base", fmt::format("ISO {:g} is below the sensor's base speed, ISO {:g}: its raw ends {:.1f} stops earlier than the half stop above white",
                                                          camera.iso.asWritten, base, std::log2(base / camera.iso.exact))});
    if (!report.detail) return;
    if (report.detail->samples == 0) {
        warnings.push_back({"detail-missing", "stopped before the detail's first pass was whole; no detail is written"});
        return;
    }
    const double grain_stops = greyFigures(report, camera).grain_stops;
    if (report.detail->noise_stops > 0.5 * grain_stops)
        warnings.push_back({"detail-noise", fmt::format("the detail's speckle is not the sensor's alone: grain at 18 % grey is {:.3f} stop, the calculation's own noise there up to {:.3f}; more --samples lower the second",
                                                        grain_stops, report.detail->noise_stops)});
}

}  // namespace keyfall
