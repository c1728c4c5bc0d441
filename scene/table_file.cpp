// Layout: mark, version, key, checksum of all that follows, length of it, then the figures.
#include "scene/table_file.h"

#include <cmath>
#include <cstring>
#include <stdexcept>
#include <type_traits>

namespace keyfall {
namespace {

// The end-of-file byte stops a terminal that shows the file; the line ends tell a transfer as text.
constexpr std::string_view kMark = "keyfall table\r\n\x1a\n";
/// Raised whenever the layout changes. A machine of the other byte order reads another number.
constexpr std::uint32_t kVersion = 1;
constexpr std::uint32_t kMostFaces = 64;
constexpr std::int32_t kMostCells = 4096;  ///< along one axis
/// What the faces add up to, against what the table says: rounding of floats is far less.
constexpr double kMostMismatch = 1e-3;

struct Unusable : std::runtime_error {
    using std::runtime_error::runtime_error;
};
void require(bool good, const char* otherwise) {
    if (!good) throw Unusable(otherwise);
}

class Writer {
  public:
    template <class T>
    void put(T value) {
        static_assert(std::is_arithmetic_v<T>);
        char raw[sizeof value];
        std::memcpy(raw, &value, sizeof value);
        bytes.append(raw, sizeof value);
    }
    void put(glm::vec3 v) { put(v.x), put(v.y), put(v.z); }
    void put(const Bands& b) {
        for (const float x : b.v) put(x);
    }
    std::string bytes;
};

class Reader {
  public:
    explicit Reader(std::string_view bytes) : left_(bytes) {}

    std::string_view take(std::size_t count) {
        require(count <= left_.size(), "it ends too early");
        const std::string_view taken = left_.substr(0, count);
        left_.remove_prefix(count);
        return taken;
    }
    template <class T>
    T get() {
        T value;
        std::memcpy(&value, take(sizeof value).data(), sizeof value);
        return value;
    }
    bool flag() {
        const auto value = get<std::uint8_t>();
        require(value <= 1, "a yes or no is neither");
        return value == 1;
    }
    float finite() {
        const auto value = get<float>();
        require(std::isfinite(value), "a figure is not finite");
        return value;
    }
    float amount() {
        const float value = finite();
        require(value >= 0.0F, "a figure is negative");
        return value;
    }
    std::int32_t count() {
        const auto value = get<std::int32_t>();
        require(value >= 1 && value <= kMostCells, "a number of cells is out of range");
        return value;
    }
    glm::vec3 vector() {
        const float x = finite();
        const float y = finite();
        return {x, y, finite()};
    }
    Bands bands() {
        Bands b;
        for (float& x : b.v) x = amount();
        return b;
    }
    std::size_t left() const { return left_.size(); }

  private:
    std::string_view left_;
};

void putFace(Writer& to, const TableFace& face) {
    const LampShape& s = face.exit.shape;
    to.put(static_cast<std::uint8_t>(s.kind));
    for (const glm::vec3 v : {s.centre_m, s.frame.x, s.frame.y, s.frame.z}) to.put(v);
    to.put(s.a_m);
    to.put(s.b_m);
    to.put(static_cast<std::uint8_t>(s.bothSides));
    for (const int n : {face.exit.sides, face.along, face.across, face.directions})
        to.put(static_cast<std::int32_t>(n));
    to.put(static_cast<std::uint8_t>(face.folded));
    to.put(static_cast<std::uint64_t>(face.luminance.size()));
    for (const float x : face.luminance) to.put(x);
}

ExitFace readExit(Reader& from) {
    ExitFace exit;
    LampShape& s = exit.shape;
    s.kind = static_cast<LampKind>(from.get<std::uint8_t>());
    require(s.kind == LampKind::disc || s.kind == LampKind::panel, "a face is neither a disc nor a panel");
    for (glm::vec3* v : {&s.centre_m, &s.frame.x, &s.frame.y, &s.frame.z}) *v = from.vector();
    s.a_m = from.amount();
    s.b_m = from.amount();
    require(s.a_m > 0.0F && (s.kind == LampKind::disc || s.b_m > 0.0F), "a face has no size");
    s.bothSides = from.flag();
    exit.sides = from.get<std::int32_t>();
    require(exit.sides == 0 || (exit.sides >= 3 && exit.sides <= kMostCells), "a face has too few sides or too many");
    return exit;
}

TableFace readFace(Reader& from) {
    TableFace face;
    face.exit = readExit(from);
    face.along = from.count();
    face.across = from.count();
    face.directions = from.count();
    face.folded = from.flag();
    // All four factors have bounds, so their product fits; the file has to hold it before it is made.
    const std::uint64_t values = static_cast<std::uint64_t>(face.along) * static_cast<std::uint64_t>(face.across) *
                                 static_cast<std::uint64_t>(face.directions) *
                                 static_cast<std::uint64_t>(face.directions) * kBands;
    require(from.get<std::uint64_t>() == values, "a face has another number of cells than it says");
    require(values <= from.left() / sizeof(float), "it ends too early");
    face.luminance.reserve(values);
    for (std::uint64_t i = 0; i < values; ++i) face.luminance.push_back(from.amount());
    return face;
}

void requireSums(const NearFieldTable& table) {
    Bands sum;
    for (const TableFace& face : table.faces) sum += fluxOf(face);
    for (int b = 0; b < kBands; ++b) {
        const auto found = static_cast<double>(sum[b]);
        const auto said = static_cast<double>(table.scattered[b]);
        require(std::abs(found - said) <= kMostMismatch * std::max(found, said), "its faces do not add up to its flux");
    }
}

NearFieldTable readPayload(Reader& from) {
    NearFieldTable table;
    table.photons = from.get<std::uint64_t>();
    table.scattered = from.bands();
    table.straight = from.bands();
    table.absorbed = from.bands();
    const auto faces = from.get<std::uint32_t>();
    require(faces <= kMostFaces, "it has too many faces");
    for (std::uint32_t f = 0; f < faces; ++f) table.faces.push_back(readFace(from));
    require(from.left() == 0, "it goes on after its end");
    requireSums(table);
    return table;
}

std::string_view textOf(const ContentKey& key) {
    return {reinterpret_cast<const char*>(key.data()), key.size()};
}

/// The payload of a whole file of this version and key.
std::string_view payloadOf(std::string_view bytes, const ContentKey& key) {
    Reader from(bytes);
    require(from.take(std::min(kMark.size(), bytes.size())) == kMark, "it is no table");
    require(from.get<std::uint32_t>() == kVersion, "it is of another version");
    require(from.take(key.size()) == textOf(key), "it was made from something else");
    const std::string_view checksum = from.take(key.size());
    const std::string_view rest = bytes.substr(bytes.size() - from.left());
    require(from.get<std::uint64_t>() == from.left(), "it has another length than it says");
    require(checksum == textOf(keyOf(rest)), "its checksum is wrong");
    return rest.substr(sizeof(std::uint64_t));
}

}  // namespace

std::string tableBytes(const NearFieldTable& table, const ContentKey& key) {
    Writer payload;
    payload.put(table.photons);
    for (const Bands* b : {&table.scattered, &table.straight, &table.absorbed}) payload.put(*b);
    payload.put(static_cast<std::uint32_t>(table.faces.size()));
    for (const TableFace& face : table.faces) putFace(payload, face);

    Writer rest;
    rest.put(static_cast<std::uint64_t>(payload.bytes.size()));
    rest.bytes += payload.bytes;
    Writer head;
    head.bytes = kMark;
    head.put(kVersion);
    head.bytes += textOf(key);
    head.bytes += textOf(keyOf(rest.bytes));
    return head.bytes + rest.bytes;
}

TableFromBytes tableFromBytes(std::string_view bytes, const ContentKey& key) {
    try {
        Reader from(payloadOf(bytes, key));
        return {readPayload(from), {}};
    } catch (const Unusable& e) {
        return {{}, e.what()};
    }
}

}  // namespace keyfall
