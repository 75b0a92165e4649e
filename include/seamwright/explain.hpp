// How one number of a plan came about: its formula, what went in, how well each constant is known, what ends its range
// and what would move it.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "seamwright/plan.hpp"
#include "seamwright/relation.hpp"

namespace seamwright {

enum class Origin : unsigned char { given, chosen, catalog, computed };
[[nodiscard]] std::string_view origin_key(Origin origin);

// One number that went in.
struct ExplainedInput {
  std::string key;  // input key ("wire.extension"), output key, or the place in the catalog ("limits.gap_credit")
  std::string label;
  double value = 0;
  std::string unit;           // metric
  std::optional<F> quantity;  // set where the value is a quantity of the output
  Origin origin = Origin::catalog;
  SourceIndex source = 0;
  std::string reason;  // of a choice; where a number worked out of a given one comes from
};

// One constant of the model, or number of the catalog.
struct ExplainedConstant {
  std::string key;
  std::string label;
  std::string unit;
  Constant constant;
  double half_change = 0;  // of the explained quantity, when the constant goes across half its 90 % interval
  double share = 0;        // of the quantity's variance, 0..1
};

// One end of the range.
struct ExplainedEnd {
  C id = C::none;
  double at = 0;                  // the explained quantity there
  std::optional<Margin> margin;   // the limit that is met there
  C next = C::none;               // what would end it, were `id` not there; none: nothing this program knows of
  std::optional<double> next_at;  // the explained quantity there
};

// A change tried on its own, everything else held.
struct ExplainedChange {
  std::string key;
  std::string words;  // "wire feed: 10 % more at the same travel"; metric
  double change = 0;  // of the explained quantity
};

struct Explanation {
  F field{};
  std::size_t pass = 0;  // index into the plan's passes
  Relation relation;
  std::vector<ExplainedInput> inputs;
  std::vector<ExplainedConstant> constants;  // greatest contribution first, then the exact ones
  std::optional<ExplainedEnd> low, high;
  std::vector<ExplainedChange> changes;  // greatest first
  bool solved_again = false;             // found by a search: constants and changes were followed through it
};

// Explains the quantities of a pass (index) of a plan, which must outlive it. The constants, numbers of the catalog and
// elements that are listed are those that move the quantity (or the ends of a range of its own), found by changing
// each.
class PassExplainer {
 public:
  PassExplainer(const Plan& plan, std::size_t pass);
  ~PassExplainer();
  PassExplainer(const PassExplainer&) = delete;
  PassExplainer& operator=(const PassExplainer&) = delete;
  // Empty when the pass has no such quantity.
  [[nodiscard]] std::optional<Explanation> explain(F id) const;

 private:
  struct State;
  std::unique_ptr<State> state_;
};
// The same for one quantity.
[[nodiscard]] std::optional<Explanation> explain(const Plan& plan, std::size_t pass, F id);

}  // namespace seamwright
