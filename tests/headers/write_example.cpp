// Writes the example of a header as a source: HEADER SOURCE.
#include <fstream>
#include <iostream>
#include <sstream>

#include "headers/example_source.hpp"

int main(int argc, char** argv) {
  if (argc != 3) {
    std::cerr << "usage: " << argv[0] << " HEADER SOURCE\n";
    return 2;
  }
  std::ifstream header(argv[1]);
  std::ostringstream text;
  text << header.rdbuf();
  std::ofstream source(argv[2]);
  source << header_examples::example_source(argv[1], text.str());
  source.flush();
  if (header.good() && source.good()) return 0;
  std::cerr << argv[0] << ": cannot read " << argv[1] << " or write " << argv[2] << '\n';
  return 1;
}
