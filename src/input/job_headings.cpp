#include "input/job_headings.hpp"

#include <algorithm>
#include <array>

#include "seamwright/catalog.hpp"
#include "seamwright/input.hpp"
#include "text/table_text.hpp"
#include "text/units_text.hpp"

namespace seamwright {
namespace {

// Words of a heading, in small letters and digits alone, and the keys they may stand for; '|' between. Where the trade
// uses a word for two things both stand here, and the user says which.
struct KnownHeading {
  std::string_view words, keys;
};
constexpr std::array<KnownHeading, 51> known_headings{
    {{"id|weldid|weldno|weldnumber|mark|item|itemno|tag|ref|reference|jointno|jointid", "id"},
     {"title|description", "title"},
     {"name", "id|title"},
     {"joint|weld", "id|joint.type"},
     {"no|nr|number", "id|quantity"},
     {"quantity|qty|count|pcs|pieces|nooff|numberoff|numberofwelds|welds", "quantity"},
     {"quality|qualitylevel", "quality"},
     {"type|jointtype|weldtype|kindofjoint", "joint.type"},
     {"thickness|thk|t|t1|thickness1|platethickness|wallthickness|wall", "joint.thickness"},
     {"thickness2|thk2|t2|secondthickness", "joint.thickness2"},
     {"preparation|prep|edgepreparation|groove", "joint.preparation"},
     {"gap|rootgap|rootopening", "joint.gap"},
     {"rootface|land", "joint.root_face"},
     {"angle|includedangle|grooveangle", "joint.angle"},
     {"leg|z|leglength|legsize", "joint.leg"},
     {"leg2|z2", "joint.leg2"},
     {"throat|a|throatthickness", "joint.throat"},
     {"size|weldsize|filletsize", "joint.leg|joint.throat"},
     {"length|weldlength|lengthofweld|seamlength", "joint.length"},
     {"od|outsidediameter|pipediameter|pipeod", "joint.diameter"},
     {"diameter|dia|d", "joint.diameter|wire.diameter"},
     {"position|weldingposition|weldposition", "joint.position"},
     {"pos", "joint.position|id"},
     {"backing", "joint.backing|gas.backing"},
     {"sides", "joint.sides"},
     {"alloy|alloy1|material|material1|basemetal|parentmetal|parentmaterial", "material.alloy"},
     {"alloy2|material2|basemetal2|parentmetal2", "material.alloy2"},
     {"grade", "material.alloy|quality"},
     {"preheat|preheattemperature", "material.preheat"},
     {"interpass|interpasstemperature", "material.interpass"},
     {"hydrogen", "material.hydrogen"},
     {"filler|fillerwire|fillermetal|consumable|wiretype|wiredesignation", "wire.designation"},
     {"wirediameter|wiredia|wiresize", "wire.diameter"},
     {"wire", "wire.designation|wire.diameter"},
     {"stickout|extension|electrodeextension", "wire.extension"},
     {"gas|shieldinggas|gastype", "gas.designation"},
     {"gasflow|flow|flowrate", "gas.flow"},
     {"backinggas|purge|purgegas|rootgas", "gas.backing"},
     {"mode|processmode|transfer|transfermode", "process.mode"},
     {"rootmode|rootprocess|roottransfer", "pass.root.mode"},
     {"fillmode|fillprocess|filltransfer", "pass.fill.mode"},
     {"capmode|capprocess|captransfer", "pass.cap.mode"},
     {"travel|travelspeed|weldingspeed", "process.travel"},
     {"wirefeed|wfs|wirefeedspeed", "process.wire_feed"},
     {"speed|feed", "process.travel|process.wire_feed"},
     {"current|amps|amperage|weldingcurrent", "process.current"},
     {"voltage|volts|weldingvoltage", "process.voltage"},
     {"arclength", "process.arc_length"},
     {"peakcurrent", "process.peak_current"},
     {"peaktime", "process.peak_time"},
     {"mechanised|mechanized", "process.mechanised"}}};

const Unit* unit_of_key(std::string_view key) {
  for (const InputKeyInfo& info : input_keys())
    if (info.path == key) return info.unit.empty() ? nullptr : find_unit(info.unit);
  return nullptr;
}

bool is_unit_of(std::string_view unit, std::string_view key) {
  const Unit* given = unit.empty() ? nullptr : find_unit(unit);
  const Unit* own = unit_of_key(key);
  return given != nullptr && own != nullptr && given->dimension == own->dimension;
}

std::vector<std::string_view> list_of(std::string_view items) {
  std::vector<std::string_view> list;
  for_each_item(items, [&](std::string_view item) { list.push_back(item); });
  return list;
}

}  // namespace

HeadingReading read_heading(std::string_view heading) {
  for (const KnownHeading& known : known_headings)
    if (is_called(known.words, heading)) return {list_of(known.keys), {}};
  for (const KnownHeading& known : known_headings)
    for (const NamedUnit& split : unit_splits(heading)) {
      if (!is_called(known.words, split.name)) continue;
      std::vector<std::string_view> keys = list_of(known.keys);
      std::erase_if(keys, [&](std::string_view key) { return !is_unit_of(split.unit, key); });
      if (!keys.empty()) return {std::move(keys), split.unit};
    }
  return {};
}

std::string_view heading_unit(std::string_view heading, std::string_view key) {
  for (const NamedUnit& split : unit_splits(heading))
    if (is_unit_of(split.unit, key)) return split.unit;
  return {};
}

}  // namespace seamwright
