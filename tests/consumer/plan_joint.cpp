// A program of somebody else's that plans a joint with the installed library.
#include <iostream>
#include <seamwright/catalog.hpp>
#include <seamwright/input.hpp>
#include <seamwright/planner.hpp>

int main(int, char** arguments) {
  using namespace seamwright;
  const Expected<Joint> joint = read_joint(arguments[1], {}, builtin_catalog());
  const Expected<Plan> plan =
      joint ? make_plan(*joint, nullptr, builtin_catalog(), {}) : Expected<Plan>(joint.errors());
  if (!plan) {
    std::cerr << format_diagnostics(plan.errors());
    return 2;
  }
  for (const PassResult& pass : plan->passes)
    std::cout << pass[F::wire_feed].value << ',' << pass[F::travel].value << '\n';  // m/min, mm/s
}
