// seamwright-catalog DATA_DIR OUT.inc
// Checks the catalog in DATA_DIR and writes it as constant tables. Each fault is a line `file:line:col: message` on
// standard error; then nothing is written and the exit code is 1.
#include <fmt/format.h>

#include <cstdio>
#include <fstream>

#include "catalog/catalog_reader.hpp"
#include "catalog/compiler/table_writer.hpp"

namespace {

int refuse(const seamwright::Diagnostics& errors) {
  for (const auto& error : errors)
    fmt::print(stderr, "{}:{}:{}: {}{}{}\n", error.place.file, error.place.line, error.place.column, error.message,
               error.help.empty() ? "" : "; ", error.help);
  return 1;
}

}  // namespace

int main(int argc, char** argv) {
  if (argc != 3) {
    fmt::print(stderr, "usage: seamwright-catalog DATA_DIR OUT.inc\n");
    return 2;
  }
  const auto documents = seamwright::read_catalog_folder(argv[1]);
  if (!documents) return refuse(documents.errors());
  const auto data = seamwright::read_catalog(*documents);
  if (!data) return refuse(data.errors());
  std::ofstream out(argv[2], std::ios::binary | std::ios::trunc);
  out << seamwright::write_tables(data->view());
  out.close();
  if (!out) {
    fmt::print(stderr, "{}: cannot be written\n", argv[2]);
    return 1;
  }
  return 0;
}
