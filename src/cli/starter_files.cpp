#include "cli/starter_files.hpp"

#include <fmt/format.h>

#include <array>
#include <utility>

namespace seamwright {
namespace {

// What the joint leaves open, as the program chooses it for the joint of the file: a test plans with each of them.
struct Open {
  std::string_view diameter_mm, extension_mm, flow_l_per_min, mode;
};

// The joint tables differ; this follows them in every joint file.
std::string joint_file_rest(const Open& open) {
  return fmt::format(R"(
# Everything below may be left out: the program then chooses, and says what and why.
# Take away the '#' of a line to fix it.

[wire]
# designation = "G 3Si1"       # ISO or AWS name: "ER70S-6" is the same
# diameter = {:<4}              # mm
# extension = {:<4}             # mm of stick-out (electrode extension), contact tip to arc

[gas]
# designation = "M21-ArC-18"   # ISO 14175 symbol, or: composition = {{ Ar = 82, CO2 = 18 }}
# flow = {:<4}                  # l/min

[process]
# mode = {:<13}         # short-arc, controlled-dip, spray, pulse, double-pulse
# travel = "5.5..12 mm/s"      # one speed, or a range you can hold
# mechanised = false           # true: a carriage or robot moves the torch

[limits]
# heat_input = "..1.5 kJ/mm"   # any quantity of the output may be limited, from..to
)",
                     open.diameter_mm, open.extension_mm, open.flow_l_per_min, fmt::format("\"{}\"", open.mode));
}

constexpr std::string_view fillet =
    R"(# A fillet weld. Run it:  seamwright plan THIS_FILE
# Numbers are in mm unless they say otherwise: "1/4 in" is fine.
title = "Bracket to deck beam"
quality = "C"                  # quality level of ISO 5817: B strict, C, D moderate

[joint]
type = "fillet"
thickness = 6
# thickness2 = 5               # the other plate, when it differs
leg = 5                        # leg length z; throat = 0.7 leg
position = "PB"                # PA flat, PB horizontal fillet, PF up, ... or "2F"
# gap = 0
# length = 1200                # for wire, gas and time

[material]
alloy = "S355"                 # EN, UNS or AISI name; 'seamwright catalog alloy' lists them
# preheat = 20                 # degC
)";

constexpr std::string_view butt =
    R"(# A butt weld. Run it:  seamwright plan THIS_FILE
# Numbers are in mm unless they say otherwise: "3/8 in" is fine.
title = "Bottom plate seam"
quality = "C"                  # quality level of ISO 5817: B strict, C, D moderate

[joint]
type = "butt"
thickness = 10
preparation = "single-v"       # square, single-v, double-v, single-bevel, double-bevel, u, j
# angle = 60                   # included angle, degrees
# gap = 2
# root_face = 1
position = "PA"                # PA flat, PC across, PF up, ... or "1G"
backing = "ceramic"            # none, permanent, ceramic, gas
# length = 1200                # for wire, gas and time

[material]
alloy = "S355"                 # EN, UNS or AISI name; 'seamwright catalog alloy' lists them
# preheat = 20                 # degC
# interpass = 250              # degC at most
)";

constexpr std::string_view lap =
    R"(# A lap weld. Run it:  seamwright plan THIS_FILE
# Numbers are in mm unless they say otherwise: "1/8 in" is fine.
title = "Locker panel overlap"
quality = "C"                  # quality level of ISO 5817: B strict, C, D moderate

[joint]
type = "lap"
thickness = 3
# thickness2 = 5               # the other plate, when it differs
leg = 3                        # at most the thickness of the upper plate
position = "PB"                # PA flat, PB horizontal fillet, PF up, ... or "2F"
# gap = 0
# length = 600                 # for wire, gas and time

[material]
alloy = "S235"                 # EN, UNS or AISI name; 'seamwright catalog alloy' lists them
)";

constexpr std::string_view pipe =
    R"(# A butt weld around a pipe. Run it:  seamwright plan THIS_FILE
# Numbers are in mm unless they say otherwise: "0.28 in" is fine.
title = "Exhaust riser"
quality = "B"                  # quality level of ISO 5817: B strict, C, D moderate

[joint]
type = "pipe-butt"
thickness = 6                  # of the wall
diameter = 114.3               # outside
preparation = "single-v"       # square, single-v, u, ...
# angle = 60                   # included angle, degrees
# gap = 2
# root_face = 1
position = "PA"                # pipe turned under the torch; PH: fixed, upward, or "5G"

[material]
alloy = "S235"                 # EN, UNS or AISI name; 'seamwright catalog alloy' lists them
# interpass = 250              # degC at most
)";

constexpr std::string_view pipe_passes =
    R"(
# A pass may be welded otherwise than the rest: 'seamwright help passes' lists the tables and keys. In [pass.cap] a weave
# is given by weave_width and weave_dwell.
[pass.root]
mode = "controlled-dip"        # an arc that dips bridges an open root; short-arc where the machine has no other
# extension = 12               # also wire, diameter, gas, gas_composition, travel, current, ...
)";

constexpr std::string_view equipment =
    R"(# What your machine can do. Use it:  seamwright plan JOINT.toml --equipment THIS_FILE
# Copy the numbers from its rating plate. What is left out does not limit the plan.
name = "Shop machine 1"
accuracy = "standard"          # of what it shows and holds: standard or precision
# modes = ["short-arc", "spray", "pulse"]   # what it can do; left out: all

[source]
current = "20..350 A"
voltage = "15..34 V"
rated_current = "350 A"        # allowed for
rated_duty = "60 %"            # this share of ten minutes
# duty = "40 %"                # of this job, when you know it: a shorter one allows more, up to the end of current

[feeder]
wire_feed = "1.5..20 m/min"

[pulse]
# peak_current = "150..500 A"
# base_current = "15..200 A"
# frequency = "30..300 Hz"

[modulation]
# frequency = "0.5..6 Hz"      # double pulse
# amplitude = "0.2..3 m/min"

# What the shop has: wires and gases that a joint leaves open are chosen from it first.
[rack]
# wires = ["G 3Si1 1.0", "G 3Si1 1.2"]   # with a diameter, or in any
# gases = ["M21-ArC-18", "I1"]
# carriage = false             # true: the torch is carried where the joint does not say otherwise

# What is paid: cost and time are then in the answers. All optional; 'seamwright help prices' tells more.
[prices]
# currency = "EUR"
# wire = "3.20 EUR/kg"         # also by name: [prices.wires] with "G 3Si1 0.8" = "3.90 EUR/kg"
# gas = "9.50 EUR/m3"          # also by name: [prices.gases]
# power = "0.28 EUR/kWh"
# labour = "46 EUR/h"
# operating_factor = "40 %"    # of the time the arc burns

# A dial without units of its own: how its numbers map to a quantity of the output.
# [[dial]]
# sets = "arc_length_trim"     # 'seamwright help outputs' lists the keys
# name = "Arc length"          # what stands beside the dial
# zero = "0 V"                 # at this value of the quantity
# reads = 0                    # the dial stands here,
# per_step = "0.3 V"           # and one step up adds this
# scale = [-10, 10]            # ends of the dial
# decimals = 0
)";

constexpr std::string_view procedure =
    R"(# A welding procedure. Use it:  seamwright check JOINT_FILE --procedure THIS_FILE
#                               seamwright plan JOINT_FILE --procedure THIS_FILE
# Take away the '#' of what your procedure states; what it leaves out is reported as not stated.
number = "WP-01"
# title = "Fillet welds in structural steel"

[joint]                        # a word or a list of words, and ranges
type = ["fillet"]
thickness = "4..12 mm"
# leg = "4..7 mm"
# position = ["PA", "PB"]

[material]
# alloy = ["S235", "S355"]     # or group = ["1.1", "1.2"] of ISO/TR 15608
# preheat = "20 C.."
# interpass = "..250 C"

[wire]
# designation = ["G 3Si1"]
# diameter = "1.0..1.2 mm"
# extension = "12..20 mm"

[gas]
# designation = ["M21"]
# flow = "12..18 l/min"

[process]
# mode = ["spray", "pulse"]

[every]                        # any quantity of the output, in every pass
heat_input = "0.5..2 kJ/mm"

[root]                         # the same in passes of one kind: single, root, fill, cap
# current = "110..180 A"
)";

constexpr std::string_view test_piece =
    R"(# A procedure test piece. Use it:  seamwright check [JOINT_FILE] --test-piece THIS_FILE
# The ranges it gives are recalled from the standards: confirm each in the standard itself.
standard = "iso-15614-1"       # level 2, or "iso-15614-2" for aluminium
weld = "butt"                  # butt, fillet
runs = "multi"                 # single, multi
thickness = "10 mm"
# throat = "4 mm"              # fillets
heat_input = "1.1 kJ/mm"
preheat = "20 C"
interpass = "180 C"            # highest reached
mode = "pulse"
position = "PA"
# group = "1.2"                # of ISO/TR 15608
# gas = "M21"
# impact_required = true       # by the construction standard
# impact_tested = true
# hardness_required = true
)";

// Plain CSV has no comments: the head of `help jobs` tells what the columns mean.
constexpr std::string_view jobs =
    "id,joint.type,joint.thickness,joint.thickness2,joint.preparation,joint.leg,joint.position,joint.length,"
    "material.alloy,wire.diameter,process.mode,x-drawing\n"
    "J-01,fillet,6,,,5,PB,1200,S355,,,D-100\n"
    "J-02,fillet,8,10,,6,PF,800,S355,1.2,pulse,D-101\n"
    "J-03,butt,10,,single-v,,PA,2400,S275,,,D-102\n"
    "J-04,butt,4,,square,,PA,1500,5083,1.2,pulse,H-200\n"
    "J-05,lap,3,,,3,PB,600,316L,,,T-300\n"
    "J-06,fillet,1/4 in,,,5,2F,18 in,S275,,,R-400\n";

}  // namespace

std::string starter_text(std::string_view kind) {
  struct Start {
    std::string_view kind, text;
    Open open;
    std::string_view passes;  // tables of single passes, where the trade has them differ
  };
  constexpr std::array<Start, 4> joints{{{"fillet", fillet, {"1.2", "18", "17.5", "spray"}, {}},
                                         {"butt", butt, {"1.2", "18", "11", "pulse"}, {}},
                                         {"lap", lap, {"1.0", "10", "11", "short-arc"}, {}},
                                         {"pipe", pipe, {"1.2", "18", "17.5", "spray"}, pipe_passes}}};
  for (const Start& start : joints)
    if (kind == start.kind) return std::string(start.text) + joint_file_rest(start.open) + std::string(start.passes);
  constexpr std::array others{std::pair{"equipment", equipment}, std::pair{"procedure", procedure},
                              std::pair{"test-piece", test_piece}, std::pair{"jobs", jobs}};
  for (const auto& [name, text] : others)
    if (kind == name) return std::string(text);
  return {};
}

}  // namespace seamwright
