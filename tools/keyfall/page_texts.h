// The page's template, style and scripts as the program carries them. Not here: the texts (tools/page),
// what goes into them (page.cpp).
#pragma once

#include <map>
#include <string>

namespace keyfall {

/// By file name: "page.html", "page.css", "light.js".
const std::map<std::string, std::string>& pageTexts();

}  // namespace keyfall
