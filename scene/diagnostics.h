// Collects messages about a scene file and finds the name that was probably meant.
// Not here: their text form and exit code (read_scene.h declares those).
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "scene/read_scene.h"
#include "scene/read_value.h"

namespace keyfall {

/// What was found; what is allowed; a likely fix. Empty parts are left out of the message.
struct Complaint {
    std::string found;
    std::string allowed;
    std::string fix;
};

class Diagnostics {
  public:
    void error(const Place& place, const Complaint& complaint);
    /// About a mesh or a CSV that `place` names: exit code 4.
    void fileError(const Place& place, const Complaint& complaint);
    void warning(const Place& place, std::string text);

    bool hasErrors() const { return errors_ > 0; }
    /// All messages in the order of the file; --set options last. Leaves the collector empty.
    std::vector<Diagnostic> take();

  private:
    void add(const Place& place, Diagnostic::Severity severity, std::string text, bool otherFile);
    std::vector<Diagnostic> list_;
    int errors_ = 0;
};

/// Edit distance with neighbours swapped counted as one: insert, delete, replace, swap.
/// Source: Damerau 1964 and Levenshtein 1966, in the "optimal string alignment" form.
int editDistance(std::string_view a, std::string_view b);

/// The candidate nearest to `name`, when it is near enough to be a slip of the fingers
/// (a third of its letters, at least one, or one is the start of the other); else "".
std::string nearest(std::string_view name, const std::vector<std::string>& candidates);

/// `did you mean "..."?`, or "" when nothing is near.
std::string didYouMean(std::string_view name, const std::vector<std::string>& candidates);

/// a, b, c
std::string joined(const std::vector<std::string>& words, std::string_view between = ", ");

}  // namespace keyfall
