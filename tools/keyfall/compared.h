// A variant as `compare` shows it: read, brought to equal exposure, metered, pictured. Not here: how the
// compensation is found (equal_exposure.h), sheet and page (sheet.h, page.h).
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "renderer/photograph/exposure.h"
#include "set_reader.h"

namespace keyfall {

/// By how much a variant was changed so that the probe shows the set exposure.
struct Compensation {
    Compare::By by = Compare::By::none;
    Measured stops;                   ///< + = more light
    std::vector<std::string> lamps;   ///< of By::power
    struct Beyond {
        std::string lamp;
        double stops = 0.0;           ///< + = more than the lamp has, - = less than its lowest power
    };
    std::vector<Beyond> beyond;       ///< powers that the lamps do not have; shown all the same
    std::string impossible;           ///< why nothing was changed though it should have been; `stops` is no figure then

    /// Does the probe show the set exposure?
    bool reached() const {
        return by != Compare::By::none && impossible.empty() && (by != Compare::By::power || !lamps.empty());
    }
};

/// Everything of one variant; valid as long as it is being shown (one film at a time is kept).
struct ComparedVariant {
    std::string name;                 ///< "as written" where the file's own set is meant
    std::string caption;
    std::vector<std::pair<std::string, std::string>> changes;  ///< key and value, as a person reads it
    Compensation compensation;
    const MeteredSet& set;            ///< scene and report after compensation; report.picture is there
    const Film& film;
    const std::vector<LayerMix>& mix; ///< after compensation
    const LinearImage& image;         ///< straight and unfiltered
    glm::dvec3 white{1.0};            ///< XYZ that the picture is balanced for
};

}  // namespace keyfall
