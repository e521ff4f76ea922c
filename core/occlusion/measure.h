#pragma once

#include <array>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "anatomy/landmarks.h"
#include "anatomy/occlusal_frame.h"
#include "geometry/contact.h"
#include "geometry/surface.h"

namespace intercusp {

/// Something to draw on the model that shows how a number came about. Patient frame, mm.
struct Construct {
  std::string
      kind;  ///< "distance" (2 points), "point", "line" (2 points), "plane" (origin, normal tip, left tip), "path"
  std::vector<Vec3> points;
  std::string label;  ///< short words, may be empty
};

struct MeasureSettings {
  double unit_mm = 7.0;         ///< cusp unit used where the patient's own is not measurable
  double landmark_sd_mm = 0.3;  ///< repeatability of one landmark, one standard deviation per axis
  double scan_sd_mm = 0.02;     ///< error of the gap between two scans, one standard deviation
};

/// A body's surface and where it stands now.
struct PosedSurface {
  SurfacePtr surface;  ///< may be null: readings from the mesh are then left out
  Pose patient_from_surface = Pose::Identity();
};

/// Where and how closely the arches meet now.
struct ArchContact {
  ContactResult result;      ///< the upper arch first, the lower second
  double contact_mm = 0.05;  ///< gap at or below which surfaces counted as touching
};

/// Everything a measure may read. Points are in the patient frame where they stand at the moment asked.
struct MeasureInput {
  PointMap points;
  PosedSurface upper, lower;
  std::optional<OcclusalFrame>
      frame;  ///< maxillary occlusal frame where the upper arch stands; empty if not measurable
  std::optional<std::pair<Vec3, Vec3>>
      midsagittal;  ///< point and unit normal (to the left), when bone or the face gives one
  MeasureSettings settings;
  std::map<std::string, double> landmark_sd;   ///< mm per axis, of landmarks less sure than `settings.landmark_sd_mm`
  std::shared_ptr<const ArchContact> contact;  ///< null: what is read from contacts is left out
};

struct PairReading {
  std::string between;  ///< "11/41"
  double value = 0;
};

/// How likely it is that the true offset lies in these quarter units.
struct ClassOdds {
  int quarters = 0;
  double probability = 0;
};

struct MeasureValue {
  double value = 0;
  std::optional<std::string> relation;  ///< JSON "class": "I", "II", "III"
  std::optional<int> quarters;          ///< signed whole quarter units, + Class II direction
  std::optional<double> unit_mm;        ///< the cusp unit that `quarters` counts in: the patient's own or the setting
  std::optional<double> probability;    ///< of `relation`, 0..1
  double uncertainty = 0;               ///< one standard deviation, same unit
  std::vector<PairReading> pairs;       ///< each pair read, where the headline is one of several
  std::optional<double> sagittal_mm;    ///< the component along f, for side relations
  std::optional<std::string> finding;   ///< the finding in words: "Class II division 1, subdivision right"
  std::vector<ClassOdds> odds;          ///< of the quarters that the true offset may lie in, likeliest first
  std::optional<double> from_mesh;      ///< probe reading from the surfaces, where they are at hand
  std::vector<Construct> construct;
};

/// What a value above and below zero is called beside its number in a table, "L" and "R"; empty: an amount without a
/// word.
struct BriefSides {
  std::string above, below;
};

/// One row of the measure table. The panels, the command line, the report and docs/methods.md are read from it.
struct MeasureDefinition {
  std::string id;                              ///< contract, e.g. "molar_right"
  std::string name;                            ///< "Molar relation, right"
  std::string unit;                            ///< "mm", "%", "deg"
  std::string group;                           ///< "incisors", "midlines", "side relations", "arch widths"
  std::string definition;                      ///< in words
  std::string source;                          ///< whose definition
  std::optional<std::array<double, 2>> usual;  ///< min, max
  std::string usual_source;
  std::string positive;             ///< what a positive value means, as a phrase: "upper edge in front of the lower"
  std::string negative;             ///< likewise
  std::optional<BriefSides> sides;  ///< none: the number keeps its sign
  std::vector<std::string> needs;   ///< landmarks in full; `needs_in` decides in detail
  std::vector<std::string> takes;   ///< landmarks that it reads besides, where they are placed
  /// What is missing for this input (landmark names or "occlusal frame"/"midsagittal plane"); empty = measurable.
  std::function<std::vector<std::string>(const MeasureInput&)> missing;
  std::function<MeasureValue(const MeasureInput&)> measure;  ///< call only when nothing is missing
};

const std::vector<MeasureDefinition>& measure_table();
const MeasureDefinition* find_measure(const std::string& id);

struct MeasureRow {
  const MeasureDefinition* definition = nullptr;
  std::optional<MeasureValue> value;  ///< empty = not measurable
  std::vector<std::string> needs;     ///< what is missing then
};

/// All rows of the table in order. O(rows) plus one ray or slice query where surfaces are given.
std::vector<MeasureRow> measure_all(const MeasureInput& input);

/// A value in clinical words, never a bare sign: "4.00 mm reverse", "1.20 mm to the patient's left", "half a unit Class
/// II".
std::string in_words(const MeasureDefinition& definition, const MeasureValue& value);

/// "Class I, 78 %; a quarter unit Class II, 22 %"; empty where no odds are known.
std::string odds_in_words(const MeasureValue& value);

}  // namespace intercusp
