// Writes the demo meshes: lathe DIRECTORY. Not part of the program's build.
#include <cstdio>
#include <exception>

#include "tools/lathe/wares.h"

int main(int argc, char** argv) {
    if (argc != 2) {
        std::fputs("usage: lathe DIRECTORY\n", stderr);
        return 2;
    }
    using namespace keyfall::lathe;
    const std::filesystem::path directory = argv[1];
    try {
        writeObj(teaCaddy(), directory / "tea_caddy.obj");
        writeObj(glassJar(), directory / "glass_jar.obj");
        writeObj(jarLiquid(), directory / "jar_liquid.obj");
        writeObj(brassSpoon(), directory / "brass_spoon.obj");
    } catch (const std::exception& e) {
        std::fprintf(stderr, "%s\n", e.what());
        return 5;
    }
    return 0;
}
