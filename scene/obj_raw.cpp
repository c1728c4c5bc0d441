// Builds a RawObj from the library's callbacks. Not here: checking text (obj_lines.h).
#include "scene/obj_raw.h"

#include <tiny_obj_loader.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <fstream>
#include <istream>
#include <map>

#include "scene/obj.h"
#include "scene/obj_lines.h"

namespace keyfall {
namespace {

constexpr std::size_t kMostSlots = 65536;  // Mesh::slot is 16 bits wide

// A float keeps a sixteenth of a repeat at 1e6; far beyond, texel numbers overflow an int.
constexpr float kFarthestUv = 1e6F;

/// A polygon whose points come later in the file (allowed by some writers, not by the format).
struct LatePolygon {
    std::vector<RawObj::Corner> corner;
    std::int32_t smoothing;
    std::uint16_t slot;
};

/// The largest index that the faces asked for, and where; checked when the file is through.
struct Reach {
    std::int64_t most = -1;
    std::size_t line = 0;
};

class Builder {
  public:
    Builder(RawObj& obj, const ObjLines& lines, const std::filesystem::path& file)
        : obj_(obj), lines_(lines), file_(file) {}

    void addPosition(glm::vec3 p) {
        checkFinite(p, "v");
        obj_.position.push_back(p);
    }
    void addUv(glm::vec2 t) {
        checkFinite({t, 0.0F}, "vt");
        if (std::max(std::abs(t.x), std::abs(t.y)) > kFarthestUv)
            throw ObjError{lines_.place() +
                           "a number of this \"vt\" line is beyond 1000000; a texture repeats "
                           "every 1; export the mesh again"};
        obj_.uv.push_back(t);
    }
    void addNormal(glm::vec3 n) {
        checkFinite(n, "vn");
        const double length = glm::length(glm::dvec3(n));
        obj_.normal.push_back(length > 0.0 ? glm::vec3(glm::dvec3(n) / length) : glm::vec3(0.0F));
    }

    void addFace(const tinyobj::index_t* index, int count) {
        polygon_.clear();
        bool isLate = false;
        for (int i = 0; i < count; ++i) {
            RawObj::Corner c;
            c.v = resolve(index[i].vertex_index, obj_.position.size(), v_, "point");
            c.vt = resolve(index[i].texcoord_index, obj_.uv.size(), vt_, "texture point");
            c.vn = resolve(index[i].normal_index, obj_.normal.size(), vn_, "normal");
            isLate = isLate || c.v >= obj_.position.size();
            polygon_.push_back(c);
        }
        if (polygon_.size() < 3) {
            ++tooShort_;
            return;
        }
        const auto group = static_cast<std::int32_t>(lines_.smoothing());
        if (isLate)
            late_.push_back({polygon_, group, currentSlot()});
        else
            addPolygon(polygon_, group, currentSlot());
    }

    void useMaterial(const char* name) { change(current_.material, name); }
    void startObject(const char* name) {
        object_ = name;
        change(current_.group, object_);
    }
    void startGroup(const char** names, int count) {
        std::string all;
        for (int i = 0; i < count; ++i) {
            if (i > 0) all += ' ';
            all += names[i];
        }
        change(current_.group, all.empty() ? object_ : all);
    }

    void finish() {
        checkReach(v_, obj_.position.size(), "point");
        checkReach(vt_, obj_.uv.size(), "texture point");
        checkReach(vn_, obj_.normal.size(), "normal");
        for (const LatePolygon& p : late_) addPolygon(p.corner, p.smoothing, p.slot);
        if (tooShort_ > 0)
            obj_.warnings.push_back(std::to_string(tooShort_) +
                                    " faces with fewer than three corners left out");
    }

  private:
    void checkFinite(glm::vec3 p, const char* keyword) const {
        if (!std::isfinite(p.x) || !std::isfinite(p.y) || !std::isfinite(p.z))
            throw ObjError{lines_.place() + "a number of this \"" + keyword +
                           "\" line is larger than 3.4e38; export the mesh again"};
    }

    std::uint32_t resolve(int index, std::size_t count, Reach& reach, const char* what) const {
        if (index == 0) return RawObj::kNone;  // the library's sign for "left out"
        if (index < 0 && static_cast<std::size_t>(-static_cast<std::int64_t>(index)) > count)
            throw ObjError{lines_.place() + what + " " + std::to_string(index) +
                           " does not exist; the file has " + std::to_string(count) +
                           " before this line; export the mesh again"};
        const std::int64_t i = index > 0 ? index - 1 : static_cast<std::int64_t>(count) + index;
        if (i > reach.most) reach = {i, lines_.line()};
        return static_cast<std::uint32_t>(i);
    }

    void checkReach(const Reach& reach, std::size_t count, const char* what) const {
        if (reach.most < static_cast<std::int64_t>(count)) return;
        throw ObjError{file_.filename().string() + ":" + std::to_string(reach.line) + ": " + what +
                       " " + std::to_string(reach.most + 1) + " does not exist; the file has " +
                       std::to_string(count) + "; export the mesh again"};
    }

    void addPolygon(const std::vector<RawObj::Corner>& p, std::int32_t group, std::uint16_t slot) {
        if (p.size() == 3) {
            obj_.triangle.push_back({{p[0], p[1], p[2]}, group, slot});
            return;
        }
        place_.clear();
        for (const RawObj::Corner& c : p) place_.emplace_back(obj_.position[c.v]);
        for (const auto& t : splitPolygon(place_))
            obj_.triangle.push_back({{p[t[0]], p[t[1]], p[t[2]]}, group, slot});
    }

    void change(std::string& field, const std::string& value) {
        slotIsKnown_ = slotIsKnown_ && field == value;
        field = value;
    }

    // Files of some programs open a group for each face: past 65535 slots groups are given up.
    std::uint16_t currentSlot() {
        if (slotIsKnown_) return slot_;
        auto known = slots_.find(current_);
        if (known == slots_.end()) {
            RawObj::Slot wanted = current_;
            if (slots_.size() + 1 >= kMostSlots) wanted.group.clear();
            known = slots_.find(wanted);
            if (known == slots_.end()) {
                if (slots_.size() >= kMostSlots)
                    throw ObjError{lines_.place() +
                                   "more than 65536 groups and materials; join "
                                   "groups in the modelling program"};
                known = slots_.emplace(wanted, static_cast<std::uint16_t>(obj_.slot.size())).first;
                obj_.slot.push_back(wanted);
            }
        }
        slot_ = known->second;
        slotIsKnown_ = true;
        return slot_;
    }

    RawObj& obj_;
    const ObjLines& lines_;
    const std::filesystem::path& file_;
    std::vector<RawObj::Corner> polygon_;
    std::vector<glm::dvec3> place_;
    std::vector<LatePolygon> late_;
    Reach v_, vt_, vn_;
    RawObj::Slot current_;
    std::string object_;
    std::map<RawObj::Slot, std::uint16_t> slots_;
    std::uint16_t slot_ = 0;
    bool slotIsKnown_ = false;
    std::size_t tooShort_ = 0;
};

/// Notes the MTL names; the files themselves are read later (obj_materials.h), so that a material
/// used before its `mtllib` line is found too. Saying "not read" makes the library go on.
class LibraryNames : public tinyobj::MaterialReader {
  public:
    explicit LibraryNames(std::vector<std::string>& names) : names_(names) {}
    bool operator()(const std::string& name, std::vector<tinyobj::material_t>*,
                    std::map<std::string, int>*, std::string*, std::string*) override {
        if (!name.empty() && std::find(names_.begin(), names_.end(), name) == names_.end())
            names_.push_back(name);
        return false;
    }

  private:
    std::vector<std::string>& names_;
};

tinyobj::callback_t callbacks() {
    tinyobj::callback_t call;
    call.vertex_cb = [](void* b, float x, float y, float z, float) {
        static_cast<Builder*>(b)->addPosition({x, y, z});
    };
    call.texcoord_cb = [](void* b, float x, float y, float) {
        static_cast<Builder*>(b)->addUv({x, y});
    };
    call.normal_cb = [](void* b, float x, float y, float z) {
        static_cast<Builder*>(b)->addNormal({x, y, z});
    };
    call.index_cb = [](void* b, tinyobj::index_t* index, int count) {
        static_cast<Builder*>(b)->addFace(index, count);
    };
    call.usemtl_cb = [](void* b, const char* name, int) {
        static_cast<Builder*>(b)->useMaterial(name);
    };
    call.object_cb = [](void* b, const char* name) { static_cast<Builder*>(b)->startObject(name); };
    call.group_cb = [](void* b, const char** names, int count) {
        static_cast<Builder*>(b)->startGroup(names, count);
    };
    return call;
}

/// Counts the lines first: growing by doubling held old and new arrays at once and cost a third
/// of the peak. A second reading of a file in the cache takes 0.1 s for 100 MB.
void reserve(RawObj& obj, const std::filesystem::path& file) {
    std::ifstream in(file, std::ios::binary);
    std::string line;
    std::size_t v = 0, vt = 0, vn = 0, f = 0;
    while (std::getline(in, line)) {
        if (line.size() < 2) continue;
        if (line[0] == 'f') ++f;
        if (line[0] != 'v') continue;
        ++(line[1] == 't' ? vt : line[1] == 'n' ? vn : v);
    }
    obj.position.reserve(v);
    obj.uv.reserve(vt);
    obj.normal.reserve(vn);
    obj.triangle.reserve(f);
}

void checkReadable(const std::filesystem::path& file) {
    std::error_code error;
    const auto status = std::filesystem::status(file, error);
    const std::string name = "mesh \"" + file.filename().string() + "\": ";
    if (!std::filesystem::exists(status))
        throw ObjError{name +
                       "there is no such file; a mesh path is taken from the scene file's "
                       "place; check the path"};
    if (!std::filesystem::is_regular_file(status))
        throw ObjError{name + "this is no file; a mesh is an OBJ file; check the path"};
    if (!std::ifstream(file)) throw ObjError{name + "cannot be opened; check its permissions"};
    if (std::filesystem::file_size(file, error) == 0)
        throw ObjError{name +
                       "the file is empty; an OBJ has points (v) and faces (f); export the "
                       "mesh again"};
}

void checkSomethingThere(const RawObj& obj, const ObjLines& lines,
                         const std::filesystem::path& file) {
    const std::string name = "mesh \"" + file.filename().string() + "\": ";
    if (!obj.triangle.empty()) return;
    if (lines.sawFreeForm())
        throw ObjError{name +
                       "only free-form curves or surfaces in it; they are not read; export "
                       "it as polygons"};
    throw ObjError{name + std::to_string(obj.position.size()) +
                   " points and no face in it; at least one face is needed; export it as polygons"};
}

}  // namespace

RawObj readRawObj(const std::filesystem::path& file) {
    checkReadable(file);
    RawObj obj;
    reserve(obj, file);
    ObjLines lines(file);
    std::istream stream(&lines);
    stream.exceptions(std::ios::badbit);  // lets an ObjError through
    Builder builder(obj, lines, file);
    LibraryNames names(obj.library);
    std::string libraryWarning, libraryError;
    tinyobj::LoadObjWithCallback(stream, callbacks(), &builder, &names, &libraryWarning,
                                 &libraryError);
    builder.finish();
    checkSomethingThere(obj, lines, file);
    if (lines.sawFreeForm())
        obj.warnings.emplace_back("free-form curves and surfaces left out; export them as polygons");
    if (lines.unknownLines() > 0)
        obj.warnings.push_back(std::to_string(lines.unknownLines()) +
                               " lines not understood, the first at line " +
                               std::to_string(lines.firstUnknownLine()) + "; left out");
    return obj;
}

}  // namespace keyfall
