#include <cstdio>
#include <exception>
#include <new>

#include "cli/program.hpp"

int main(int argc, char** argv) {
  try {
    return steelyard::cli::run_program(argc, argv);
  } catch (const std::bad_alloc&) {
    std::fputs("steelyard: out of memory\n", stderr);
  } catch (const std::exception& error) {
    std::fprintf(stderr, "steelyard: this is a fault of the program, please report it: %s\n", error.what());
  }
  return 1;
}
