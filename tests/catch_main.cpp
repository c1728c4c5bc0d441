// The main() of every test program, compiled once. Not here: any test.
#define CATCH_CONFIG_MAIN
#include <catch2/catch.hpp>
