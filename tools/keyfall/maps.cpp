#include "maps.h"

namespace keyfall {

std::vector<Output> mapOutputs(const std::string& prefix) {
    if (prefix.empty()) return {};
    return {{"--maps", prefix + "-stops.png"}, {"--maps", prefix + "-clipped.png"}, {"--maps", prefix + "-mirrors.png"}};
}

std::string mapNames(const std::string& prefix) {
    std::string names;
    for (const Output& o : mapOutputs(prefix)) names += o.file + "\n";
    return names;
}

void writeMaps(const MapSources& sources, const std::string& prefix) {
    const std::vector<Output> outputs = mapOutputs(prefix);
    if (outputs.empty()) return;
    writeStopsMap(sources, outputs[0].file);
    writeClippedMap(sources, outputs[1].file);
    writeMirrorsMap(sources, outputs[2].file);
}

}  // namespace keyfall
