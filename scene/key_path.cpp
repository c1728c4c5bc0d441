#include "scene/key_path.h"

#include <fstream>
#include <sstream>

#include "scene/read_draft.h"
#include "scene/read_toml.h"

namespace keyfall {
namespace {

bool hasAxes(Type type) {
    return type == Type::triple || type == Type::place || type == Type::target;
}

/// The first complaint about a path; "" without one.
std::string complaint(Draft& draft) {
    const std::vector<Diagnostic> said = draft.messages().take();
    return said.empty() ? "" : said.front().text;
}

std::vector<double> numbersOf(const Value* value) {
    std::vector<double> numbers;
    if (value == nullptr) return numbers;
    if (value->isNumber()) numbers.push_back(value->number);
    if (value->isList())
        for (const Value& v : value->list)
            if (v.isNumber()) numbers.push_back(v.number);
    return numbers;
}

KeyFacts factsIn(Draft& draft, const std::string& path) {
    KeyFacts facts;
    facts.path = path;
    const Place nowhere;
    const auto found = findPath(draft, path, nowhere, false);
    if (!found) {
        facts.problem = complaint(draft);
        return facts;
    }
    if (found->key != nullptr) {
        facts.type = found->key->type;
        const bool words =
            facts.type == Type::word || facts.type == Type::lamps || facts.type == Type::table;
        if (!words) facts.unit = found->key->note;
    } else {
        facts.type = Type::text;
    }
    facts.written = numbersOf(found->table->find(found->name));
    return facts;
}

}  // namespace

KeyFacts factsOfKey(const std::filesystem::path& file, const std::vector<std::string>& set,
                    const std::string& path) {
    std::ifstream in(file, std::ios::binary);
    std::ostringstream text;
    text << in.rdbuf();
    auto parsed = parseToml(text.str(), file.string());
    KeyFacts unknown;
    unknown.path = path;
    if (!in.good() || std::holds_alternative<SyntaxError>(parsed)) return unknown;
    Draft draft;
    draft.options.set = set;
    draft.file = file;
    draft.root = std::move(std::get<Value>(parsed));
    applyOverrides(draft);
    draft.messages().take();  // told by whoever reads the scene
    const std::size_t dot = path.rfind('.');
    const std::string last = dot == std::string::npos ? "" : path.substr(dot + 1);
    if (last == "x" || last == "y" || last == "z") {
        KeyFacts whole = factsIn(draft, path.substr(0, dot));
        if (whole.problem.empty() && hasAxes(whole.type)) {
            whole.axis = static_cast<std::size_t>(last[0] - 'x');
            if (whole.written.size() != 3)
                whole.problem = whole.path +
                                " is not written as [x, y, z]; one of its numbers can be changed "
                                "only where all "
                                "three are; write it down, or give it by --set";
            return whole;
        }
    }
    return factsIn(draft, path);
}

}  // namespace keyfall
