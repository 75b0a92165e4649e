// libFuzzer entry: any bytes as a joint file, as an equipment file and as a command-line value.
//   clang++ -std=c++20 -g -O1 -fsanitize=fuzzer,address,undefined -fno-sanitize-recover=all ... fuzz_toml.cpp
// Beside the sanitizers' findings it demands that every message has words and that what is read is finite and ordered.
#include <cmath>
#include <cstdint>
#include <cstdlib>

#include "seamwright/catalog.hpp"
#include "seamwright/input.hpp"

namespace {

void demand(bool holds) {
  if (!holds) std::abort();
}

template <class T>
void check(const seamwright::Expected<T>& result) {
  if (result) return;
  demand(!result.errors().empty());
  for (const auto& d : result.errors()) demand(!d.message.empty());
  demand(!seamwright::format_diagnostics(result.errors()).empty());
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace seamwright;
  const std::string text(reinterpret_cast<const char*>(data), size);
  const auto joint = read_joint_text(text, "fuzz.toml", {}, builtin_catalog());
  check(joint);
  if (joint) {
    demand(std::isfinite(*joint->thickness_mm) && *joint->thickness_mm > 0);
    for (const UserLimit& limit : joint->limits) demand(limit.range.low < limit.range.high);
  }
  check(read_equipment_text(text, "fuzz.toml"));
  const std::vector<Assignment> base = {
      {"joint.type", "fillet"}, {"joint.thickness", "6"}, {"material.alloy", "S355"}, {"process.travel", text}};
  const auto assigned = read_joint_text({}, "command line", base, builtin_catalog());
  check(assigned);
  if (assigned) demand((*assigned->travel_mm_per_s).low <= (*assigned->travel_mm_per_s).high);
  return 0;
}
