// One function a command; each reads as the house's sentence: scene file -> Scene -> Stage -> Film
// -> readings and picture.
#pragma once

#include "options.h"

namespace keyfall {

int runRender(const Options& options);
int runMeter(const Options& options);
int runCheck(const Options& options);
int runCompare(const Options& options);
int runSettings(const Options& options);
int runSeries(const Options& options);
int runPlace(const Options& options);
int runLamp(const Options& options);
int runList(const std::string& kind, const Options& options);

}  // namespace keyfall
