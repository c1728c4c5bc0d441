#include "page.h"

#include <fmt/core.h>

#include <algorithm>
#include <stdexcept>

#include "json_numbers.h"
#include "outputs.h"
#include "page_json.h"
#include "page_layers.h"
#include "page_texts.h"
#include "renderer/photograph/develop.h"
#include "renderer/photograph/write_file.h"

namespace keyfall {
namespace {

/// In the order in which they need each other.
constexpr const char* kScripts[] = {"arithmetic.js", "light.js",  "decode.js",  "picture.js",
                                    "tones.js",      "labels.js", "plan.js",    "words.js", "tables.js",
                                    "sheets.js",     "controls.js", "page.js"};
/// Below this a layer shows nothing worth its bytes.
constexpr int kLeastLayer_px = 200;
constexpr int kLeastPicture_px = 100;

/// How much the page was cut down to fit.
struct Cut {
    int layers = 0;     ///< times halved
    bool none = false;  ///< left out
    int pictures = 0;   ///< times halved
};

void replace(std::string& text, const std::string& mark, const std::string& by) {
    const std::size_t at = text.find(mark);
    if (at == std::string::npos) throw std::logic_error("the page's template has no " + mark);
    text.replace(at, mark.size(), by);
}

/// JSON inside a script element: nothing in it may look like an element's end.
std::string scriptSafe(const Json& json) {
    std::string safe;
    for (const char c : json.dump(-1, ' ', false, Json::error_handler_t::replace)) {
        if (c == '<')
            safe += "\\u003c";
        else
            safe += c;
    }
    return safe;
}

std::string htmlSafe(const std::string& text) {
    std::string safe;
    for (const char c : text)
        safe += c == '<'   ? "&lt;"
                : c == '>' ? "&gt;"
                : c == '&' ? "&amp;"
                : c == '"' ? "&quot;"
                           : std::string(1, c);
    return safe;
}

std::string inTemplate(const std::string& title, const Json& comparison) {
    std::string html = pageTexts().at("page.html");
    std::string scripts;
    for (const char* name : kScripts) scripts += pageTexts().at(name);
    replace(html, "{{style}}", pageTexts().at("page.css"));
    replace(html, "{{scripts}}", scripts);
    replace(html, "{{comparison}}", scriptSafe(comparison));
    replace(html, "{{title}}", htmlSafe(title));  // last: a title may hold anything, also such a mark
    return html;
}

Json liveJson(std::vector<LayerCodes> layers, int halvings) {
    Json j;
    for (int h = 0; h < halvings; ++h)
        for (LayerCodes& layer : layers) layer = halved(layer);
    j["width"] = layers.front().width_px;
    j["height"] = layers.front().height_px;
    j["layers"] = Json::array();
    for (const LayerCodes& layer : layers) j["layers"].push_back(packed(layer));
    return j;
}

Json pictureJson(Srgb8Image picture, int halvings) {
    for (int h = 0; h < halvings; ++h) picture = halved(picture);
    return {{"width", picture.width_px}, {"height", picture.height_px}, {"uri", jpegUri(picture)}};
}

}  // namespace

struct Page::Parts {
    struct Variant {
        Json json;
        Srgb8Image picture;
        std::vector<LayerCodes> layers;  ///< of a live one
    };
    PageSettings settings;
    std::vector<Variant> variants;

    Json commonJson(const Cut& cut) const {
        Json j{{"title", settings.title}, {"at", settings.at}, {"version", KEYFALL_VERSION}};
        j["conventions"] = conventionsJson();
        j["cautions"] = settings.cautions;
        j["cut"] = {{"layers", cut.layers},
                    {"none", cut.none},
                    {"pictures", cut.pictures},
                    {"most_bytes", settings.mostBytes}};
        return j;
    }

    std::string html(const Cut& cut) const {
        Json j = commonJson(cut);
        j["variants"] = Json::array();
        for (const Variant& v : variants) {
            Json one = v.json;
            one["picture"] = pictureJson(v.picture, cut.pictures);
            if (!v.layers.empty() && !cut.none) one["live"] = liveJson(v.layers, cut.layers);
            j["variants"].push_back(std::move(one));
        }
        return inTemplate(settings.title, j);
    }

    /// False when there is nothing left to cut.
    bool cutMore(Cut& cut) const {
        int layer_px = 0, picture_px = 0;
        for (const Variant& v : variants) {
            if (!v.layers.empty()) layer_px = std::max(layer_px, v.layers.front().width_px >> cut.layers);
            picture_px = std::max(picture_px, v.picture.width_px >> cut.pictures);
        }
        if (!cut.none && layer_px > 0) {
            if (layer_px >= 2 * kLeastLayer_px)
                ++cut.layers;
            else
                cut.none = true;
            return true;
        }
        if (picture_px < 2 * kLeastPicture_px) return false;
        ++cut.pictures;
        return true;
    }
};

Page::Page(PageSettings settings) : parts_(std::make_unique<Parts>()) {
    parts_->settings = std::move(settings);
}
Page::~Page() = default;

void Page::add(const ComparedVariant& v) {
    Parts::Variant kept;
    kept.json = variantJson(v);
    // Straight also where the scene asks for the soft view: the page's own light is straight, and a wipe
    // between the two would show a difference that is none of the light.
    kept.picture = renderView(v.image, View::straight);
    const auto& live = parts_->settings.live;
    if (std::find(live.begin(), live.end(), v.name) != live.end()) {
        const double factor = pictureFactor(v.set.scene.camera);
        for (std::size_t l = 0; l < v.film.layers().size(); ++l)
            kept.layers.push_back(
                layerCodes(expose(developLayer(v.film, l, fullMix(v, l)), factor, v.white)));
    }
    parts_->variants.push_back(std::move(kept));
}

std::string Page::html() const {
    Cut cut;
    std::string text = parts_->html(cut);
    while (text.size() > parts_->settings.mostBytes) {
        const std::size_t bytes = text.size();
        if (!parts_->cutMore(cut))
            throw std::length_error(fmt::format(
                "the page would have {} bytes, {} are allowed; compare fewer variants, or use series", bytes,
                parts_->settings.mostBytes));
        text = parts_->html(cut);
    }
    return text;
}

void Page::write(const std::filesystem::path& file) const {
    std::string text;
    try {
        text = html();
    } catch (const std::length_error& e) {
        throw WriteError(file, e.what());
    }
    writeText(file.string(), text);
}

}  // namespace keyfall
