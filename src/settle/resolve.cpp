#include "settle/resolve.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "seamwright/heat_rules.hpp"
#include "seamwright/imperfection.hpp"
#include "seamwright/transfer.hpp"
#include "settle/metal_parts.hpp"
#include "settle/settle_parts.hpp"

namespace seamwright {
namespace {

void resolve_position(Case& c) {
  const Joint& j = c.joint;
  if (j.position) {
    c.position = find_position(*c.catalog, *j.position);
    return;
  }
  const bool fillet = *j.type == JointType::fillet || *j.type == JointType::lap;
  c.position = find_position(*c.catalog, fillet ? "PB" : "PA");
  choose(c, [&]() -> Choice {
    return {"joint.position", std::string(c.position->id),
            fillet                            ? "a fillet is usually welded with one plate lying flat"
            : *j.type == JointType::pipe_butt ? "a pipe in the shop is turned under the arc"
                                              : "no position given, so flat is assumed",
            0};
  });
}

std::string_view preparation_material(Family family) {
  switch (family) {
    case Family::aluminium:
      return "aluminium";
    case Family::duplex:
    case Family::super_duplex:
    case Family::nickel:
    case Family::copper:
      return "duplex";
    case Family::carbon_steel:
    case Family::austenitic:
    case Family::ferritic:
      break;
  }
  return "steel";
}

bool two_sided(PreparationType type) {
  return type == PreparationType::double_v || type == PreparationType::double_bevel;
}

}  // namespace

const Preparation* preparation_row(const Case& c, PreparationType type, double thickness_mm, int sides) {
  const Preparation* any = nullptr;
  for (const Preparation& row : c.catalog->preparations) {
    if (row.id != preparation_key(type) || row.material != preparation_material(c.alloy->family)) continue;
    const bool fits_sides = two_sided(type) || row.both_sides == (sides == 2);
    if (any == nullptr || fits_sides) any = any == nullptr ? &row : any;
    if (fits_sides && thickness_mm >= row.thickness_min_mm && thickness_mm <= row.thickness_max_mm) return &row;
  }
  return any;
}

namespace {

void resolve_butt(Case& c) {
  const Joint& j = c.joint;
  const double t = *j.thickness_mm;
  SectionInput& s = c.section;
  const bool pipe = s.type == JointType::pipe_butt;
  c.sides = j.sides ? *j.sides : 1;
  const Preparation* row = nullptr;
  if (j.preparation) {
    s.preparation = *j.preparation;
    if (two_sided(s.preparation)) c.sides = 2;
    row = preparation_row(c, s.preparation, t, c.sides);
    if (row != nullptr && (t < row->thickness_min_mm || t > row->thickness_max_mm))
      warn_that(c, "preparation-thickness", row->source, [&] {
        return fmt::format(
            "{} is usual from {} to {} in this metal; the joint is {} thick. Check the preparation "
            "against ISO 9692.",
            row->id, mm(row->thickness_min_mm), mm(row->thickness_max_mm), mm(t));
      });
  } else {
    constexpr PreparationType preference[] = {PreparationType::square, PreparationType::single_v,
                                              PreparationType::double_v, PreparationType::u};
    // The root of a pipe is open on one side alone: above sheet its edges are bevelled.
    const double square_pipe_mm = heat_range(*c.catalog, "pipe-square-edges").high;
    for (const PreparationType type : preference) {
      if (pipe && type == PreparationType::square && t > square_pipe_mm) continue;
      if ((pipe || (j.sides && *j.sides == 1)) && two_sided(type)) continue;
      const Preparation* candidate = preparation_row(c, type, t, two_sided(type) ? 2 : c.sides);
      if (candidate == nullptr || t < candidate->thickness_min_mm || t > candidate->thickness_max_mm) continue;
      row = candidate;
      s.preparation = type;
      break;
    }
    if (row == nullptr) {
      s.preparation = PreparationType::single_v;
      row = preparation_row(c, s.preparation, t, c.sides);
    }
    if (two_sided(s.preparation)) c.sides = 2;
    choose(c, [&]() -> Choice {
      return {"joint.preparation", std::string(preparation_key(s.preparation)),
              row != nullptr ? fmt::format("usual for {} of {}", mm(t), c.alloy->id) : "nothing better is known",
              row != nullptr ? row->source : SourceIndex{0}};
    });
  }
  const SourceIndex source = row != nullptr ? row->source : SourceIndex{0};
  const Limits& lim = *c.catalog->limits;
  const bool square = s.preparation == PreparationType::square;
  if (j.gap_mm) {
    s.gap_mm = *j.gap_mm;
    if (row != nullptr && s.gap_mm > row->gap_max_mm && !c.backed)
      warn_that(c, "preparation-gap", row->source, [&] {
        return fmt::format(
            "The gap of {} is wider than the {} usual for {} of this thickness: the root may drop "
            "through. Close the joint up, or use a backing.",
            mm(s.gap_mm), mm(row->gap_max_mm), row->id);
      });
  } else {
    const double low = row != nullptr ? row->gap_min_mm : 0.0;
    const double high = row != nullptr ? row->gap_max_mm : 0.0;
    s.gap_mm = square ? std::clamp(lim.square_gap_share.value * t, low, std::max(low, high)) : 0.5 * (low + high);
    choose(c, [&]() -> Choice {
      return {"joint.gap", mm(s.gap_mm),
              square ? "half the thickness, inside the usual range" : "middle of the usual range", source};
    });
  }
  if (!square) {
    if (j.root_face_mm) {
      s.root_face_mm = *j.root_face_mm;
    } else {
      s.root_face_mm = row != nullptr ? 0.5 * (row->face_min_mm + row->face_max_mm) : 0.0;
      choose(c, [&]() -> Choice {
        return {"joint.root_face", mm(s.root_face_mm), "middle of the usual range", source};
      });
    }
    if (j.angle_deg) {
      s.angle_deg = *j.angle_deg;
    } else {
      const double high = row != nullptr ? row->angle_max_deg : 60.0;
      const double low = row != nullptr ? row->angle_min_deg : 60.0;
      // Up to 60 deg the wide end gives the gun room; beyond, the middle is enough.
      s.angle_deg = high <= 60.0 ? high : 0.5 * (low + high);
      choose(c, [&]() -> Choice {
        return {"joint.angle", fmt::format("{:.4g} deg", s.angle_deg), "room for the gun, inside the usual range",
                source};
      });
    }
    s.arc_radius_mm = row != nullptr ? row->arc_radius_mm : 0.0;
  }
  s.sides = c.sides;
  // A groove that no bead fits into is a square edge with its corners broken.
  if (const double a_side = section_area_mm2(s) / std::max(1, c.sides);
      !square && a_side < lim.groove_area_min_mm2.value) {
    warn_that(c, "groove-too-small", lim.groove_area_min_mm2.source, [&] {
      return fmt::format(
          "{} on {} leaves {:.1f} mm2 a side to fill, less than a bead: planned as a square butt. Give a wider angle, "
          "a "
          "smaller root face or joint.preparation = \"square\".",
          preparation_key(s.preparation), mm(t), a_side);
    });
    s.preparation = PreparationType::square;
    s.root_face_mm = 0;
    s.angle_deg = 0;
    s.arc_radius_mm = 0;
  }
}

void resolve_fillet(Case& c) {
  const Joint& j = c.joint;
  SectionInput& s = c.section;
  const double thinner = std::min(*j.thickness_mm, c.thickness2_mm);
  if (j.leg_mm) {
    s.leg_mm = *j.leg_mm;
  } else if (j.throat_mm) {
    s.leg_mm = fillet_leg_mm(*j.throat_mm);
    choose(c, [&]() -> Choice {
      return {"joint.leg", mm(s.leg_mm), fmt::format("of a flat fillet with the throat of {} given", mm(*j.throat_mm)),
              0};
    });
  } else {
    const Constant& most = c.position->fillet_leg_max_mm;
    const Limits& lim = *c.catalog->limits;
    // The edge of a sheet carries a bead wider than it is thick, and a wire for aluminium lays no less at a hand's
    // speed.
    const bool lap = s.type == JointType::lap;
    const bool aluminium = c.alloy->family == Family::aluminium;
    const Constant& wanted = aluminium ? lim.aluminium_leg_min_mm : lap ? lim.lap_leg_min_mm : lim.fillet_leg_min_mm;
    double least = wanted.value;
    if (lap || aluminium)
      least = std::max(std::min(least, lim.lap_leg_share.value * thinner), lim.fillet_leg_min_mm.value);
    s.leg_mm = std::clamp(thinner, std::min(least, most.value), most.value);
    choose(c, [&]() -> Choice {
      return {"joint.leg", mm(s.leg_mm),
              thinner > most.value    ? "the largest single-pass leg in this position"
              : !(s.leg_mm > thinner) ? "as large as the thinner plate is thick"
              : lap                   ? "the smallest a wire lays along a sheet's edge"
                                      : "the smallest a wire lays at the speed of a hand",
              wanted.source};
    });
  }
  s.leg2_mm = j.leg2_mm ? *j.leg2_mm : s.leg_mm;
  s.gap_mm = j.gap_mm ? *j.gap_mm : 0.0;
  if (!j.gap_mm) choose(c, [&]() -> Choice { return {"joint.gap", mm(0), "plates are assumed to touch", 0}; });
  const double throat_mm = fillet_throat_mm(s.leg_mm, s.leg2_mm);
  const auto& table = c.catalog->imperfections;
  const ImperfectionRow* row = imperfection_row(table, Imperfection::fit_up_gap, c.quality->id);
  const auto gap_max_mm = imperfection_limit_mm(table, Imperfection::fit_up_gap, c.quality->id, throat_mm);
  if (row != nullptr && gap_max_mm && s.gap_mm > *gap_max_mm)
    warn_that(c, "fit-up-gap", row->source, [&] {
      return fmt::format(
          "The gap of {} is wider than the {:.1f} mm that level {} allows under a fillet of {:.1f} mm throat, and the "
          "plan lays no metal for it: the throat comes out short. Close the joint up, or agree a larger fillet with "
          "the coordinator.",
          mm(s.gap_mm), *gap_max_mm, c.quality->id, throat_mm);
    });
}

// Duplex steel: the run over the root keeps to a share of the root's heat, which goes with its metal; so the root is
// laid larger.
struct RootRules {
  double over_root_share = 0, root_gain = 1, stringer_min_mm = 0;
};
RootRules root_rules(const Case& c) {
  if (!is_duplex(c.alloy->family) && (c.alloy2 == nullptr || !is_duplex(c.alloy2->family))) return {};
  return {heat_range(*c.catalog, "duplex-over-root-metal").high, heat_range(*c.catalog, "duplex-root-metal").high,
          heat_range(*c.catalog, "duplex-stringer-width").low};
}

// Whether passes may have a process of their own.
bool passes_apart(const Case& c) { return !c.joint.passes.empty() || c.root_mode; }

// The passes of the joint; `deposit_share` makes smaller ones of them.
void plan_the_passes(Case& c, double deposit_share) {
  const Limits& lim = *c.catalog->limits;
  const Position& position = *c.position;
  const QualityLevel& q = *c.quality;
  const double square_width = c.section.thickness_mm + lim.square_width_extra_mm.value;
  const RootRules root = root_rules(c);
  const PassRules rules{.root_thickness_max_mm = position.root_thickness_max_mm.value,
                        .fillet_leg_max_mm = position.fillet_leg_max_mm.value,
                        .layer_thickness_max_mm = position.layer_thickness_max_mm.value,
                        .layer_split_width_mm = position.layer_split_width_mm.value,
                        .deposit_max_mm2 = deposit_share * position.deposit_max_mm2.value,
                        .root_layer_mm = lim.root_layer_mm.value,
                        .fill_layer_mm = lim.fill_layer_mm.value,
                        .reinforcement_share = lim.reinforcement_share.value,
                        .convexity_share = lim.convexity_share.value,
                        .square_excess_mm2 = lim.square_excess_share.value * 2.0 / 3.0 * square_width *
                                             std::min(q.face_fixed_mm + q.face_share * square_width, q.face_max_mm),
                        .over_root_share = root.over_root_share,
                        .spared_root_gain = root.root_gain,
                        .stringer_min_mm = root.stringer_min_mm,
                        .alike_ratio = heat_range(*c.catalog, "fills-alike").high,
                        .alike_beads = static_cast<int>(heat_range(*c.catalog, "fills-of-a-layer-alike").low)};
  plan_passes(c.section, rules, c.pass_plans);
}

}  // namespace

bool out_of_position(const Position& p) { return p.id != "PA" && p.id != "PB" && p.id != "PC"; }

Expected<Case> resolve_joint(const Joint& joint, const Equipment* equipment, const Catalog& catalog) {
  Case c;
  if (Diagnostics errors = resolve_joint(joint, equipment, catalog, c); !errors.empty()) return errors;
  return c;
}

Diagnostics resolve_joint(const Joint& joint, const Equipment* equipment, const Catalog& catalog, Case& c) {
  Diagnostics errors;
  // What an earlier joint left behind goes; strings and lists keep their memory.
  c.catalog = &catalog;
  c.joint = joint;
  if (equipment != nullptr)
    c.equipment = *equipment;
  else
    c.equipment.reset();
  c.gas = {};
  c.gas_name.clear();
  c.section = {};
  c.sides = 1;
  c.pass_plans.clear();
  c.own.clear();
  c.own_of.clear();
  c.root_mode.reset();
  c.tables = 0;
  c.of_root_alone = false;
  c.choices.clear();
  c.warnings.clear();
  resolve_material(c, errors);
  check_rack(c, errors);
  if (!errors.empty()) return errors;
  c.quality = find_quality(catalog, joint.quality ? std::string_view(*joint.quality) : "B");
  if (!joint.quality)
    choose(c, [&]() -> Choice {
      return {"quality", "B", "ISO 5817 level B unless told otherwise", c.quality->source};
    });
  resolve_wire(c, errors);
  if (!errors.empty()) return errors;
  resolve_gas(c);
  resolve_position(c);
  if (!errors.empty()) return errors;

  SectionInput& s = c.section;
  s.type = *joint.type;
  s.thickness_mm = *joint.thickness_mm;
  c.thickness2_mm = joint.thickness2_mm ? *joint.thickness2_mm : s.thickness_mm;
  c.backed = joint.backing && (*joint.backing == Backing::permanent || *joint.backing == Backing::ceramic);
  switch (s.type) {
    case JointType::fillet:
    case JointType::lap:
      resolve_fillet(c);
      break;
    case JointType::butt:
    case JointType::pipe_butt:
      resolve_butt(c);
      break;
    case JointType::corner:
    case JointType::edge:
    case JointType::overlay:
      s.gap_mm = joint.gap_mm ? *joint.gap_mm : 0.0;
      s.leg_mm = joint.leg_mm ? *joint.leg_mm : s.thickness_mm;
      s.leg2_mm = joint.leg2_mm ? *joint.leg2_mm : s.leg_mm;
      s.overlay_height_mm = catalog.limits->overlay_height_mm.value;
      if (s.type == JointType::overlay)  // sheet does not carry the layer that plate does
        s.overlay_height_mm =
            std::min(s.overlay_height_mm, heat_range(catalog, "overlay-height-share").high * s.thickness_mm);
      break;
  }

  c.preheat_C = joint.preheat_C ? *joint.preheat_C : catalog.limits->ambient_C.value;
  const Alloy& strictest = interpass_alloy(c);
  c.interpass_C = joint.interpass_C ? *joint.interpass_C : strictest.interpass_max_C.value;
  if (!joint.interpass_C && c.interpass_C > 0)
    choose(c, [&]() -> Choice {
      return {"material.interpass", fmt::format("{:.4g} degC at most", c.interpass_C),
              fmt::format("usual for {}", strictest.id), strictest.interpass_max_C.source};
    });
  const bool carriage = equipment != nullptr && equipment->carriage.value_or(false);
  c.mechanised = joint.mechanised ? *joint.mechanised : carriage;
  if (joint.travel_mm_per_s) {
    c.travel_mm_per_s = *joint.travel_mm_per_s;
  } else {
    const TravelRange& row =
        find_travel_range(catalog, c.mechanised, c.alloy->family == Family::aluminium, c.position->id);
    c.travel_mm_per_s = {row.easy_min_mm_per_s, row.easy_max_mm_per_s};
    choose(c, [&]() -> Choice {
      return {"process.travel", fmt::format("{:.4g} to {:.4g} mm/s", row.easy_min_mm_per_s, row.easy_max_mm_per_s),
              fmt::format("easy for a {}; refused below {:.4g} mm/s and above {:.4g} mm/s",
                          c.mechanised ? "carriage" : "hand", row.last_min_mm_per_s, row.last_max_mm_per_s),
              row.source};
    });
  }
  if (!joint.length_mm && !joint.diameter_mm)
    choose(c, [&]() -> Choice {
      const bool foot = joint.unit_length_mm == mm_per_ft;
      return {"joint.length", mm(joint.unit_length_mm),
              fmt::format("totals are per {} of joint", foot ? "foot" : "metre"), 0};
    });
  resolve_times_and_efficiency(c);
  c.preference = joint.prefer                                ? *joint.prefer
                 : equipment != nullptr && equipment->prefer ? *equipment->prefer
                                                             : Preference::metal;
  if (!joint.prefer && c.preference != Preference::metal)
    choose(c, [&]() -> Choice {
      return {"process.prefer", std::string(preference_key(c.preference)), "as the equipment file has it", 0};
    });
  c.choices_of_joint = c.choices.size();
  c.warnings_of_joint = c.warnings.size();
  if (!joint.passes.empty()) {
    plan_the_passes(c, 1.0);
    resolve_passes(c, errors);
  }
  return errors;
}

double fixed_travel_mm_per_s(const Joint& joint) {
  const auto& travel = joint.travel_mm_per_s;
  return travel && travel.value->low == travel.value->high ? travel.value->low : 0.0;
}

DiameterList diameter_candidates(const Case& c) {
  if (c.joint.wire_diameter_mm) {
    // The size it is, where it is one: 1/16 in is 1.6 mm.
    const double given = *c.joint.wire_diameter_mm;
    const WireSize* size = find_wire_size(*c.catalog, c.wire->family, given);
    return {size == nullptr || find_trade_size(*c.catalog, given) != nullptr ? given : size->diameter_mm};
  }
  const double t = std::min(*c.joint.thickness_mm, c.thickness2_mm);
  const bool aluminium = c.alloy->family == Family::aluminium;
  const Limits& lim = *c.catalog->limits;
  const auto pick = [t](const Constant& sheet, const Constant& below, const Constant& medium, const Constant& from,
                        const Constant& plate) {
    return (t < below.value ? sheet : t < from.value ? medium : plate).value;
  };
  const double wanted =
      aluminium ? pick(lim.wire_sheet_aluminium_mm, lim.sheet_aluminium_below_mm, lim.wire_medium_aluminium_mm,
                       lim.plate_aluminium_from_mm, lim.wire_plate_aluminium_mm)
                : pick(lim.wire_sheet_steel_mm, lim.sheet_steel_below_mm, lim.wire_medium_steel_mm,
                       lim.plate_steel_from_mm, lim.wire_plate_steel_mm);
  DiameterList offered;
  for_each_item(c.wire->diameters, [&](std::string_view text) {
    double value = 0;
    for (const char ch : text)
      if (ch != '.') value = 10 * value + (ch - '0');
    const auto dot = text.find('.');
    if (dot != std::string_view::npos) value /= std::pow(10.0, static_cast<double>(text.size() - dot - 1));
    if (offered.size() < offered.capacity() && find_wire_size(*c.catalog, c.wire->family, value) != nullptr)
      offered.push_back(value);
  });
  if (c.equipment && !c.equipment->rack_wires.empty() && on_rack(c, *c.wire)) {
    // What the inch trade has on the rack is offered by nobody's list of metric sizes.
    for (const RackItem& item : c.equipment->rack_wires)
      if (find_wire(*c.catalog, item.name) == c.wire && find_trade_size(*c.catalog, item.diameter_mm) != nullptr &&
          find_wire_size(*c.catalog, c.wire->family, item.diameter_mm) != nullptr &&
          offered.size() < offered.capacity())
        offered.push_back(item.diameter_mm);
    offered.erase(std::remove_if(offered.begin(), offered.end(), [&](double d) { return !on_rack(c, *c.wire, d); }),
                  offered.end());
  }
  std::sort(offered.begin(), offered.end(), [&](double a, double b) {
    const double from_a = std::abs(a - wanted), from_b = std::abs(b - wanted);
    return from_a != from_b ? from_a < from_b : a < b;
  });
  return offered;
}

ModeList mode_candidates(const Case& c, std::vector<ModeRefusal>& refusals) {
  if (c.joint.mode) return {*c.joint.mode};
  const bool open = is_used(c) || std::ranges::any_of(c.own, [](const Case& own) { return !own.joint.mode; });
  if (!open) return {*c.own.back().joint.mode};
  const Limits& lim = *c.catalog->limits;
  const double t = *c.joint.thickness_mm;
  ModeList modes;
  const auto refuse = [&](Mode mode, auto reason) {
    if (c.with_reasons) refusals.push_back({mode, reason()});
  };
  for (const Mode mode : {Mode::short_arc, Mode::controlled_dip, Mode::spray, Mode::pulse}) {
    if (is_dip(mode) && c.joint.arc_length_mm)
      refuse(mode, [] { return std::string("an arc length is given, and an arc that dips has none to hold"); });
    else if (is_dip(mode) && t > lim.short_arc_plate_last_mm.value)
      refuse(mode, [&] {
        return fmt::format("not chosen by default above {}: lack of fusion is likely on thick plate",
                           mm(lim.short_arc_plate_last_mm.value));
      });
    else
      modes.push_back(mode);
  }
  refuse(Mode::double_pulse, [] { return std::string("taken only when asked for"); });
  return modes;
}

bool unusual_mode(const Case& c, Mode mode) {
  const Limits& lim = *c.catalog->limits;
  const double t = *c.joint.thickness_mm;
  if (mode == Mode::short_arc) return t > lim.short_arc_plate_max_mm.value;
  if (mode == Mode::controlled_dip) return t > lim.controlled_dip_plate_max_mm.value;
  const bool root_apart = c.root_mode || (!c.pass_plans.empty() && case_of(c, 0).joint.mode);
  return mode == Mode::spray && (out_of_position(*c.position) || (cool_root(c) && !root_apart));
}

bool cool_root(const Case& c) {
  const bool butt = c.section.type == JointType::butt || c.section.type == JointType::pipe_butt;
  const bool ceramic = c.joint.backing && *c.joint.backing == Backing::ceramic;
  return butt && (!c.backed || ceramic) && c.alloy->family != Family::aluminium &&
         c.section.preparation != PreparationType::square && c.section.gap_mm > 0;
}

bool open_root(const Case& c) { return cool_root(c) && !c.backed; }

namespace {

bool alike_in_process(const Case& c, std::size_t a, std::size_t b) {
  if (!c.own_of.empty() && c.own_of[a] != c.own_of[b]) return false;
  return !c.procedure || same_ranges(*c.procedure, c.pass_plans[a].number, c.pass_plans[b].number);
}

}  // namespace

bool like_the_one_before(const Case& c, std::size_t i) {
  return i > 0 && alike(c.pass_plans[i], c.pass_plans[i - 1]) && alike_in_process(c, i, i - 1);
}

std::size_t earlier_alike(const Case& c, std::size_t i) {
  if (like_the_one_before(c, i)) return i - 1;
  PassPlan pass = c.pass_plans[i];
  for (std::size_t k = 0; k < i; ++k) {
    const PassPlan& earlier = c.pass_plans[k];
    if (!c.backed) pass.side = earlier.side;  // a backing is under the first side alone
    if (alike(pass, earlier) && alike_in_process(c, i, k)) return k;
  }
  return i;
}

std::optional<std::string> settle_mode(Case& c, Mode mode, double diameter_mm, double deposit_share) {
  std::string reason;
  if (settle_mode(c, mode, diameter_mm, deposit_share, reason)) return std::nullopt;
  return reason;
}

namespace {

// Extension, gas flow, passes and warnings of one process.
bool settle_process(Case& c, Mode mode, double diameter_mm, double deposit_share, std::string& reason) {
  const Limits& lim = *c.catalog->limits;
  const auto refuse = [&reason]<class... Words>(fmt::format_string<Words...> text, Words&&... words) {
    fmt::format_to(std::back_inserter(reason), text, std::forward<Words>(words)...);
    return false;
  };
  c.choices.resize(c.choices_of_joint);
  c.warnings.resize(c.warnings_of_joint);
  c.mode = mode;
  c.diameter_mm = diameter_mm;
  // Said before the mode is refused for want of a range: it tells what to do instead.
  if (mode == Mode::short_arc && c.alloy->family == Family::aluminium) warn(c, "short-arc-on-aluminium");
  c.wire_size = find_wire_size(*c.catalog, c.wire->family, diameter_mm);
  if (c.wire_size == nullptr) return refuse("{} is not known in {}", c.wire->id, mm(diameter_mm));
  const WireSize& size = *c.wire_size;
  const auto none = [&](const Constant& k) { return k.value <= 0; };
  if (mode == Mode::short_arc && none(size.short_arc_max_A))
    return refuse("{} of {} is not used in short arc", c.wire->id, mm(diameter_mm));
  if (mode == Mode::controlled_dip && none(size.controlled_dip_max_A))
    return refuse("{} of {} is not known in controlled dip", c.wire->id, mm(diameter_mm));
  if ((mode == Mode::spray || is_pulsed(mode)) && !has_spray(c.gas.co2_percent, lim.co2_spray_max_percent.value))
    return refuse("there is no true spray above {:.4g} % CO2; this gas has {:.4g} %", lim.co2_spray_max_percent.value,
                  c.gas.co2_percent);
  if (mode == Mode::spray && none(size.transition_A))
    return refuse("no spray transition is known for {} of {}", c.wire->id, mm(diameter_mm));
  if (is_pulsed(mode) && none(size.peak_current_A) && !c.joint.peak_current_A)
    return refuse("no pulse is known for {} of {}; process.peak_current may give one", c.wire->id, mm(diameter_mm));
  if (c.equipment && !c.equipment->modes.empty() &&
      std::find(c.equipment->modes.begin(), c.equipment->modes.end(), mode) == c.equipment->modes.end())
    return refuse("{} does not offer it", c.equipment->name);

  const ModeInfo& info = mode_info(*c.catalog, mode);
  if (c.joint.extension_mm) {
    c.extension_mm = *c.joint.extension_mm;
  } else {
    c.extension_mm = info.extension_diameters.value * diameter_mm;
    choose(c, [&]() -> Choice {
      return {"wire.extension", mm(c.extension_mm),
              fmt::format("{:.4g} wire diameters", info.extension_diameters.value), info.extension_diameters.source};
    });
  }
  if (const WireTradeSize* trade = find_trade_size(*c.catalog, diameter_mm);
      trade != nullptr && size.diameter_mm == trade->size_mm)
    choose(c, [&]() -> Choice {
      return {"wire.diameter", mm(diameter_mm), fmt::format("currents and pulse are those of {}", mm(trade->size_mm)),
              trade->source};
    });
  if (!c.joint.wire_diameter_mm)
    choose(c, [&]() -> Choice {
      return {"wire.diameter", mm(diameter_mm), fmt::format("suits {} of {}", mm(*c.joint.thickness_mm), c.alloy->id),
              0};
    });
  if (c.joint.gas_flow_l_per_min) {
    c.gas_flow_l_per_min = *c.joint.gas_flow_l_per_min;
  } else {
    const bool aluminium = c.alloy->family == Family::aluminium;
    const Constant& low = aluminium ? lim.gas_flow_aluminium_min_l_per_min : info.gas_flow_min_l_per_min;
    const Constant& high = aluminium ? lim.gas_flow_aluminium_max_l_per_min : info.gas_flow_max_l_per_min;
    c.gas_flow_l_per_min = 0.5 * (low.value + high.value);
    choose(c, [&]() -> Choice {
      return {"gas.flow", fmt::format("{:.4g} l/min", c.gas_flow_l_per_min),
              fmt::format("usual is {:.4g} to {:.4g} l/min", low.value, high.value), low.source};
    });
  }

  if (!passes_apart(c) && c.tables == 0) plan_the_passes(c, deposit_share);
  if (deposit_share < 1.0)
    choose(c, [&]() -> Choice {
      return {"passes",
              fmt::format("{}, none over {:.0f} mm2", c.pass_plans.size(),
                          deposit_share * c.position->deposit_max_mm2.value),
              "larger passes have no window here", c.position->deposit_max_mm2.source};
    });
  settle_prices(c);
  pairing_warnings(c);
  return true;
}

}  // namespace

bool settle_mode(Case& c, Mode mode, double diameter_mm, double deposit_share, std::string& reason) {
  reason.clear();
  if (!passes_apart(c)) {
    c.own.clear();
    c.own_of.clear();
    return settle_process(c, mode, diameter_mm, deposit_share, reason);
  }
  plan_the_passes(c, deposit_share);
  if (!settle_passes(c, mode, diameter_mm, reason)) return false;
  // What no pass is welded with need not be possible.
  std::string unheard;
  return settle_process(c, mode, diameter_mm, deposit_share, is_used(c) ? reason : unheard) || !is_used(c);
}

}  // namespace seamwright
