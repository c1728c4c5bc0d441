// Many forms of one scene file, read and metered one after the other: what `compare`, `series` and
// `place` hold against each other. Not here: pictures (picture.h), the figures they ask for (figure.h).
#pragma once

#include <map>
#include <memory>
#include <optional>
#include <set>
#include <stdexcept>
#include <string>
#include <vector>

#include "prepare.h"
#include "report.h"
#include "scene_input.h"
#include "scene/library.h"

namespace keyfall {

/// What turns the set of the file into one of its forms; on top of --set, the variant last.
struct SetChange {
    std::vector<std::string> set;  ///< `light.key.power=1/4`
    std::string variant;           ///< of the file; empty: none
};

/// The scene has mistakes; they are told. Carries the exit code, 3 or 4.
struct UnreadableSet : std::runtime_error {
    explicit UnreadableSet(int code) : std::runtime_error("the scene has mistakes"), exitCode(code) {}
    int exitCode;
};

/// A form of the set with its readings. Stays where it is: report and stage look at the scene.
struct MeteredSet {
    MeteredSet(Scene read, const Options& options) : scene(std::move(read)), report(scene, options) {}
    MeteredSet(const MeteredSet&) = delete;
    MeteredSet& operator=(const MeteredSet&) = delete;

    Scene scene;
    LightTables tables;
    std::optional<Stage> stage;
    std::vector<FoundLine> edgeLines;  ///< of the set's first form: where its edges are measured
    Report report;
};

class SetReader {
  public:
    /// `options` must outlive the reader: scene, set, lights, seed, threads, quality, quiet.
    explicit SetReader(const Options& options);

    /// Prints each message once, however many forms give it; warnings only when not quiet.
    /// Throws UnreadableSet.
    Scene read(const SetChange& change, bool needsCamera = true);

    /// As `read`, without a word: of a form that may well be impossible (a lamp inside the product).
    /// Empty then; `why` is its first error.
    std::optional<Scene> readQuietly(const SetChange& change, std::string& why, bool needsCamera = true);

    /// Tables, stage and readings of a scene that was read. Equal seeds meet equal paths as far as the
    /// sets are alike, so differences between forms are light and not noise. `time_s`: for the readings.
    /// Interrupted, readings may be missing. Throws SceneError.
    std::unique_ptr<MeteredSet> meter(Scene scene, std::optional<double> time_s);

    /// From here on each reading has at least as many points as this form of it needs: readings share the
    /// noise of the points that all of them have. Traces pilots alone. Throws SceneError.
    void agreeOnPoints(Scene scene);

    /// Edges of every set that is metered from now on are measured where those of this form are found, as far
    /// as they cross the same edges there. Geometry alone: nothing is traced or baked.
    void keepEdgesOf(const Scene& scene);
    void keepEdges(std::vector<FoundLine> lines) { edgeLines_ = std::move(lines); }

  private:
    SceneInput readInput(const SetChange& change, bool needsCamera) const;

    const Options& options_;
    Library library_;
    TableMaker maker_;
    std::set<std::string> told_;
    std::map<std::string, std::uint32_t> points_;  ///< a probe's, per replicate: ReadingSettings::agreed
    std::vector<FoundLine> edgeLines_;
};

}  // namespace keyfall
