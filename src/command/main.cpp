#include <cstdlib>
#include <iostream>
#include <unistd.h>

#include "base/large_memory.h"
#include "command/commands.h"

int main(int argc, char** argv) {
  rakelight::settle_memory();
  std::ios::sync_with_stdio(false);
  const char* no_colour = std::getenv("NO_COLOR");
  const bool colour = isatty(STDOUT_FILENO) && !(no_colour && *no_colour);
  return rakelight::run({argv + 1, argv + argc}, {std::cout, std::cerr, colour, 1});
}
