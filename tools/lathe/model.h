// A model to be written as OBJ, in centimetres. Not here: reading OBJ (scene/obj.h).
#pragma once

#include <array>
#include <filesystem>
#include <glm/glm.hpp>
#include <string>
#include <vector>

namespace keyfall::lathe {

struct Vertex {
    glm::dvec3 at_cm;
    glm::dvec3 normal;
    glm::dvec2 uv;
};

/// Triangles counter-clockwise from outside. One group: a name the scene file can give a material.
struct Part {
    std::string group;
    std::vector<Vertex> vertex;
    std::vector<std::array<std::size_t, 3>> triangle;
};

struct Model {
    std::string about;  ///< one line for the top of the file
    std::vector<Part> part;
};

/// Overwrites `file`. Throws std::runtime_error when it cannot be written.
void writeObj(const Model& model, const std::filesystem::path& file);

}  // namespace keyfall::lathe
