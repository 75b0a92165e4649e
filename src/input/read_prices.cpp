#include "input/read_prices.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "text/foreign_text.hpp"

namespace seamwright {
namespace {

constexpr double most = 1e6;  // slips, not dear wires

struct PriceKey {
  std::string_view path;
  std::optional<double> Prices::*member;
  std::string_view unit;  // a number alone is for one of it
};
constexpr PriceKey price_keys[] = {{"prices.wire", &Prices::wire_per_kg, "kg"},
                                   {"prices.gas", &Prices::gas_per_m3, "m3"},
                                   {"prices.power", &Prices::power_per_kWh, "kWh"},
                                   {"prices.labour", &Prices::labour_per_h, "h"}};
struct NamedKey {
  std::string_view table;
  std::vector<Prices::Named> Prices::*member;
  std::string_view unit;
};
constexpr NamedKey named_keys[] = {{"prices.wires", &Prices::wires, "kg"}, {"prices.gases", &Prices::gases, "m3"}};

constexpr std::array<std::string_view, 8> all_keys{"prices.currency", "prices.wire",   "prices.gas",
                                                   "prices.power",    "prices.labour", "prices.operating_factor",
                                                   "prices.wires",    "prices.gases"};

bool is_blank(char c) { return c == ' ' || c == '\t'; }
bool is_of_number(char c) { return (c >= '0' && c <= '9') || c == '.' || c == ',' || c == '-' || c == '+'; }

std::string_view trim(std::string_view text) {
  while (!text.empty() && is_blank(text.front())) text.remove_prefix(1);
  while (!text.empty() && is_blank(text.back())) text.remove_suffix(1);
  return text;
}

// "2.40 EUR/kg", "$1.10/lb", "9/m3", "2.40": amount, currency and unit, the last two empty where they are not written.
struct Written {
  std::string_view amount, currency, unit;
};
Written split(std::string_view text) {
  Written out;
  const std::size_t slash = text.find('/');
  out.amount = trim(text.substr(0, slash));
  if (slash != std::string_view::npos) out.unit = trim(text.substr(slash + 1));
  const auto first = std::find_if(out.amount.begin(), out.amount.end(), is_of_number);
  const auto end = std::find_if_not(first, out.amount.end(), is_of_number);
  const auto before = static_cast<std::size_t>(first - out.amount.begin());
  const auto after = static_cast<std::size_t>(out.amount.end() - end);
  if (first == out.amount.end() || (before > 0 && after > 0)) return out;
  out.currency = trim(before > 0 ? out.amount.substr(0, before) : out.amount.substr(out.amount.size() - after));
  out.amount = out.amount.substr(before, out.amount.size() - before - after);
  return out;
}

}  // namespace

RackItem wire_item(const Place& place, std::string_view text) {
  RackItem item{place, std::string(text), 0};
  auto space = text.rfind(' ');
  for (int words = 1; words <= 2 && space != std::string_view::npos && space > 0; ++words) {
    constexpr double least_mm = 0.5, most_mm = 4;
    const std::string_view last = text.substr(space + 1);
    const Expected<double> diameter_mm = parse_quantity(last, "mm");
    if (diameter_mm && *diameter_mm >= least_mm && *diameter_mm < most_mm &&
        last.find_first_of("./") != std::string_view::npos) {
      item.name.resize(space);
      item.diameter_mm = *diameter_mm;
      break;
    }
    space = text.rfind(' ', space - 1);
  }
  return item;
}

std::span<const std::string_view> PriceReader::keys() { return all_keys; }

std::optional<double> PriceReader::written_price(const Entry& entry, std::string_view unit) {
  const auto fail = [&](std::string message, std::string help = {}) {
    reader_.fail(entry.place, std::move(message), std::move(help));
    return std::nullopt;
  };
  const auto refuse = [&](const Diagnostics& errors, std::string_view what) {
    const Diagnostic& d = errors.front();
    return fail(fmt::format("{}: {}{}", entry.path, what, d.message), d.help);
  };
  const auto text = reader_.text(entry);
  if (!text) return std::nullopt;
  const Written written = split(*text);
  if (!std::any_of(written.amount.begin(), written.amount.end(), [](char c) { return c >= '0' && c <= '9'; }))
    return fail(fmt::format("{} '{}' is not a price", entry.path, *text), fmt::format("write \"2.40/{}\"", unit));
  const auto amount = parse_quantity(written.amount, "");
  if (!amount) return refuse(amount.errors(), "");
  double size = 1;
  if (!written.unit.empty()) {
    const auto units = parse_quantity(fmt::format("1 {}", written.unit), unit);
    if (!units) return refuse(units.errors(), fmt::format("a price is for one {}: ", unit));
    size = *units;
  }
  if (!written.currency.empty()) currencies_.emplace_back(entry, std::string(written.currency));
  return *amount / size;
}

std::optional<double> PriceReader::price(const Entry& entry, std::string_view unit) {
  std::optional<double> value;
  if (entry.value->kind == TomlValue::Kind::string) {
    value = written_price(entry, unit);
  } else if (entry.value->is_number()) {
    value = entry.value->number;
  } else {
    reader_.fail(entry.place, fmt::format("{} is {}, expected a price", entry.path, toml_kind_label(entry.value->kind)),
                 fmt::format("write \"2.40/{}\"", unit));
  }
  if (!value || (*value >= 0 && *value <= most)) return value ? std::optional(*value + 0.0) : value;
  reader_.fail(entry.place,
               std::isfinite(*value)
                   ? fmt::format("{} is {}, expected a price of 0 to {:.0f}", entry.path, number_text(*value), most)
                   : fmt::format("{} is not a finite number", entry.path),
               fmt::format("a number without a unit is for one {}", unit));
  return std::nullopt;
}

void PriceReader::take_currency(const Entry& entry) {
  constexpr std::size_t longest = 8;
  const auto text = reader_.text(entry);
  if (!text) return;
  const bool word =
      text->size() <= longest && printable(*text) == *text && std::none_of(text->begin(), text->end(), [](char c) {
        return is_of_number(c) || is_blank(c) || c == '/' || c == '"' || c == ';';
      });
  if (!word)
    return reader_.fail(entry.place, fmt::format("{} is not a currency", entry.path),
                        "write one short word without digits, such as \"EUR\"");
  prices_->currency = *text;
}

bool PriceReader::take(const Entry& entry) {
  if (!entry.path.starts_with("prices.")) return false;
  if (!prices_) prices_.emplace();
  for (const PriceKey& key : price_keys)
    if (key.path == entry.path) {
      (*prices_).*key.member = price(entry, key.unit);
      return true;
    }
  for (const NamedKey& key : named_keys) {
    if (!entry.path.starts_with(key.table) || entry.path.size() < key.table.size() + 2) continue;
    std::string_view name = std::string_view(entry.path).substr(key.table.size() + 1);
    if (name.front() == '"') name = name.substr(1, name.size() - 2);
    const bool wires = key.member == &Prices::wires;
    if (const auto value = price(entry, key.unit))
      ((*prices_).*key.member)
          .push_back(
              {wires ? wire_item(entry.key_place, name) : RackItem{entry.key_place, std::string(name), 0}, *value});
    return true;
  }
  if (entry.path == "prices.currency")
    take_currency(entry);
  else if (entry.path == "prices.operating_factor")
    prices_->operating_factor = reader_.number(entry, {"", 0.01, 1});
  else
    return false;
  return true;
}

std::optional<Prices> PriceReader::finish() {
  for (const auto& [entry, currency] : currencies_) {
    if (prices_->currency.empty()) prices_->currency = currency;
    if (currency == prices_->currency) continue;
    reader_.fail(entry.place,
                 fmt::format("{} is in {}, other prices are in {}", entry.path, currency, prices_->currency),
                 "write all prices in one currency");
    break;
  }
  return std::move(prices_);
}

}  // namespace seamwright
