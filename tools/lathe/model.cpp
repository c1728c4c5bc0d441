// Writes a model as OBJ. Not here: making one (revolve.h, spoon.h).
#include "tools/lathe/model.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <fstream>
#include <stdexcept>

namespace keyfall::lathe {
namespace {

// A tenth of a micrometre in centimetres, and normals to 1e-5 rad.
std::string numbers(const char* keyword, std::initializer_list<double> values) {
    std::string line = keyword;
    for (const double value : values) {
        char text[32];
        std::snprintf(text, sizeof text, " %.5f", std::abs(value) < 5e-6 ? 0.0 : value);
        line += text;
    }
    return line + '\n';
}

double heightOf_cm(const Model& model) {
    double low = 1e30, high = -1e30;
    for (const Part& part : model.part)
        for (const Vertex& v : part.vertex) {
            low = std::min(low, v.at_cm.y);
            high = std::max(high, v.at_cm.y);
        }
    return high - low;
}

}  // namespace

void writeObj(const Model& model, const std::filesystem::path& file) {
    std::ofstream out(file);
    char height[32];
    std::snprintf(height, sizeof height, "%.2f", heightOf_cm(model));
    out << "# " << model.about << "\n# Units: centimetres. Real height: " << height
        << " cm. Made by tools/lathe.\n";
    std::size_t before = 1;
    for (const Part& part : model.part) {
        out << "g " << part.group << '\n';
        for (const Vertex& v : part.vertex) {
            out << numbers("v", {v.at_cm.x, v.at_cm.y, v.at_cm.z});
            out << numbers("vt", {v.uv.x, v.uv.y});
            out << numbers("vn", {v.normal.x, v.normal.y, v.normal.z});
        }
        for (const auto& t : part.triangle) {
            out << 'f';
            for (const std::size_t i : t)
                out << ' ' << i + before << '/' << i + before << '/' << i + before;
            out << '\n';
        }
        before += part.vertex.size();
    }
    if (!out.flush()) throw std::runtime_error("cannot write " + file.string());
}

}  // namespace keyfall::lathe
