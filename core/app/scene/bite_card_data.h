#pragma once

#include <map>
#include <optional>
#include <string>

#include "app/scene/contact_watch.h"
#include "app/scene/readings.h"

namespace intercusp {

/// A molar or canine relation as the card shows it.
struct SideReading {
  std::optional<double> mm;  ///< + Class II direction
  std::string relation;      ///< "I", "II", "III"
  int quarters = 0;
  double unit_mm = 7;      ///< the cusp unit that the class was read in
  double probability = 1;  ///< of the relation
  std::vector<std::string> needs;
};

/// Everything that the bite card draws, for one moment.
struct BiteCardData {
  IncisorSection section;
  std::optional<double> overjet, overbite;
  SideReading molar_right, molar_left, canine_right, canine_left;
  std::optional<double> midline, upper_face, lower_face;  ///< + to the patient's left
  std::map<int, ToothContact> teeth;
  std::map<int, char> marks;          ///< tooth -> 'x' crossed, 'o' open
  std::optional<double> right_share;  ///< of the contact area, 0..1
};

/// `contacts` may be null: the card then shows no contacts.
BiteCardData bite_card_data(const Reading& reading, const std::map<int, ToothContact>* contacts);

}  // namespace intercusp
