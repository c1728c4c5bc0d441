// Child processes that hand back figures through a pipe. Not here: what they measure.
#include <fmt/core.h>
#include <sys/wait.h>
#include <unistd.h>

#include <exception>
#include <fstream>
#include <stdexcept>
#include <string>

#include "bench.h"

namespace keyfall::bench {
namespace {

struct Pipe {
    int ends[2] = {-1, -1};
    Pipe() {
        if (pipe(ends) != 0) throw std::runtime_error("no pipe");
    }
    int in() const { return ends[0]; }
    int out() const { return ends[1]; }
};

void require(bool ok, const char* what) {
    if (!ok) throw std::runtime_error(what);
}

/// The pipes of one child: it says it is ready, hears that all are, sends figures.
struct Child {
    Pipe ready, go, figures;
    pid_t id = -1;
};

[[noreturn]] void live(const Child& self,
                       const std::function<std::vector<double>(const WaitForOthers&)>& work) {
    try {
        const auto wait = [&self] {
            char byte = 1;
            require(write(self.ready.out(), &byte, 1) == 1, "cannot report");
            require(read(self.go.in(), &byte, 1) == 1, "nobody says go");
        };
        const std::vector<double> out = work(wait);
        const auto bytes = static_cast<ssize_t>(out.size() * sizeof(double));
        require(write(self.figures.out(), out.data(), static_cast<std::size_t>(bytes)) == bytes,
                "cannot report");
    } catch (const std::exception& e) {
        fmt::print(stderr, "keyfall_bench: {}\n", e.what());
        _exit(1);
    }
    std::fflush(nullptr);
    _exit(0);  // no static destructors: the pool's threads may still be asleep in there
}

std::vector<double> figuresOf(Child& child) {
    std::vector<double> figures;
    double value = 0.0;
    while (read(child.figures.in(), &value, sizeof value) == sizeof value) figures.push_back(value);
    int status = 0;
    waitpid(child.id, &status, 0);
    require(WIFEXITED(status) && WEXITSTATUS(status) == 0, "a measuring process failed");
    for (const Pipe* p : {&child.ready, &child.go, &child.figures}) close(p->in());
    return figures;
}

}  // namespace

std::vector<std::vector<double>> inChildren(
    int count, const std::function<std::vector<double>(const WaitForOthers&)>& work) {
    std::fflush(nullptr);  // else each child prints the parent's pending text again
    std::vector<Child> children(static_cast<std::size_t>(count));
    for (Child& child : children) {
        child.id = fork();
        require(child.id >= 0, "no process");
        if (child.id == 0) live(child, work);
        close(child.ready.out());
        close(child.figures.out());
    }
    // A child that needs nobody closes its end without a word: read then returns 0, at once.
    char byte = 1;
    for (Child& child : children)
        if (read(child.ready.in(), &byte, 1) < 0) throw std::runtime_error("lost a process");
    for (Child& child : children) {
        require(write(child.go.out(), &byte, 1) == 1, "cannot say go");
        close(child.go.out());
    }
    std::vector<std::vector<double>> all;
    for (Child& child : children) all.push_back(figuresOf(child));
    return all;
}

std::vector<double> inChild(const std::function<std::vector<double>()>& work) {
    return inChildren(1, [&](const WaitForOthers&) { return work(); }).front();
}

double peakBytes() {
    std::ifstream status("/proc/self/status");
    for (std::string word; status >> word;)
        if (word == "VmHWM:") {
            double kB = 0.0;
            status >> kB;
            return kB * 1024.0;
        }
    return 0.0;
}

}  // namespace keyfall::bench
