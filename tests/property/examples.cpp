#include "property/examples.hpp"

#include <algorithm>
#include <filesystem>
#include <string>

#include "seamwright/catalog.hpp"
#include "seamwright/input.hpp"

namespace seamwright::test {

std::vector<Joint> example_joints() {
  std::vector<std::string> files;
  for (const auto& entry : std::filesystem::directory_iterator(SEAMWRIGHT_EXAMPLE_DIR))
    if (entry.path().extension() == ".toml") files.push_back(entry.path().string());
  std::sort(files.begin(), files.end());
  std::vector<Joint> joints;
  for (const std::string& file : files)
    if (const Expected<Joint> joint = read_joint(file, {}, builtin_catalog())) joints.push_back(*joint);
  return joints;
}

}  // namespace seamwright::test
