// A scene file becomes a Scene, one step after the other. Not here: what a section means.
#include "scene/read_scene.h"

#include <fstream>
#include <memory>
#include <sstream>

#include "scene/read_draft.h"
#include "scene/read_toml.h"

namespace keyfall {

namespace {

/// The whole file, or nothing when it cannot be read.
std::optional<std::string> textOf(const std::filesystem::path& file) {
    std::error_code problem;
    if (!std::filesystem::is_regular_file(file, problem)) return {};
    std::ifstream in(file, std::ios::binary);
    std::ostringstream text;
    text << in.rdbuf();
    return in.good() ? std::optional(text.str()) : std::nullopt;
}

/// Every step goes on after a mistake, so that one run names them all.
void readAll(Draft& draft) {
    applyOverrides(draft);
    indexObjects(draft);
    readMaterials(draft);
    readLamps(draft);
    readGels(draft);
    readModifiers(draft);
    readSurroundings(draft);
    readSolids(draft);
    readCamera(draft);
    readLights(draft);
    readWhiteBalance(draft);
    readSheets(draft);
    standModifiers(draft);
    readProbes(draft);
    readOtherParts(draft);
    refuseTooMuch(draft);
    keepLampsFree(draft);
    warnOfScene(draft);
}

Scene finish(Draft& draft) {
    Scene& scene = draft.scene;
    scene.file = draft.file;
    for (DraftItem& entry : draft.items)
        if (entry.on) scene.items.push_back(std::move(entry.item));
    scene.defaults = std::move(draft.notes.defaults);
    return std::move(scene);
}

}  // namespace

ReadResult readScene(const std::filesystem::path& file, const ReadOptions& options) {
    if (const auto text = textOf(file)) return readSceneText(*text, file, options);
    Diagnostics early;
    early.error({file.string(), 0, 0},
                {"the scene file cannot be read", "needed: a TOML file", "check the path"});
    ReadResult result;
    result.diagnostics = early.take();
    return result;
}

ReadResult readSceneText(std::string_view text, const std::filesystem::path& file,
                         const ReadOptions& options) {
    ReadResult result;
    auto parsed = parseToml(text, file.string());
    if (const auto* error = std::get_if<SyntaxError>(&parsed)) {
        Diagnostics early;
        early.error(error->place, {"this is no TOML: " + error->text, "allowed: TOML 1.0", {}});
        result.diagnostics = early.take();
        return result;
    }
    // Fields point into the draft: it stays where it is.
    const auto draft = std::make_unique<Draft>();
    draft->options = options;
    draft->file = file;
    draft->root = std::move(std::get<Value>(parsed));
    draft->nothing.place = {file.string(), 0, 0};
    draft->library = options.library != nullptr ? *options.library : readLibrary();
    draft->flagCloth = draft->library.materials.at("black");
    readAll(*draft);
    if (!draft->messages().hasErrors()) result.scene = finish(*draft);
    result.diagnostics = draft->messages().take();
    return result;
}

}  // namespace keyfall
