#include "occlusion/changed_by.h"

namespace intercusp {
namespace {

struct Change {
  const char* id;  // the beginning of the ids it holds for; the first that fits counts
  const char* words;
};

constexpr Change kChanges[] = {
    {"overjet",
     "a jaw forward or back; pitch of a jaw; inclination of the incisors; a turn of the upper arch that tilts f"},
    {"overbite", "a jaw up or down at the front; pitch; extrusion or inclination of the incisors"},
    {"midline_upper_lower", "a jaw to one side; yaw; shift or tilt of the incisors"},
    {"midline_upper",
     "the upper jaw to one side; its yaw; shift of the upper incisors; where the midsagittal plane lies"},
    {"midline_lower",
     "the lower jaw to one side; its yaw; shift of the lower incisors; where the midsagittal plane lies"},
    {"molar", "a jaw forward or back; yaw (the two sides apart); molars moved or turned"},
    {"canine",
     "a jaw forward or back; yaw (the two sides apart); canines moved or turned; spaces and crowding before them"},
    {"premolar", "a jaw forward or back; yaw (the two sides apart); premolars moved or turned"},
    {"angle_class", "what changes the molar relations; for the division the inclination of the upper incisors"},
    {"anterior_crossbite", "a jaw forward or back; inclination or position of the single incisor"},
    {"posterior_crossbite",
     "width of either arch; a jaw to one side or forward (the arches widen backwards); yaw; tilt of the tooth"},
    {"scissor", "width of either arch; a jaw to one side or forward; yaw; tilt of the tooth"},
    {"open_bite_anterior", "a jaw up or down at the front; pitch; extrusion of the front teeth"},
    {"open_bite", "a jaw up or down at the back; pitch and roll; an early contact elsewhere"},
    {"intercanine", "expansion or narrowing; tilt of the canines; no movement of a whole jaw"},
    {"intermolar", "expansion or narrowing; tilt or turn of the molars; no movement of a whole jaw"},
    {"arch_depth", "incisors or molars moved along the arch; no movement of a whole jaw"},
    {"arch_perimeter", "expansion; incisors or molars moved; no movement of a whole jaw"},
    {"crowding", "expansion; proclination; removal or slimming of teeth; no movement of a whole jaw"},
    {"tooth_size", "slimming or building up of teeth; nothing else"},
    {"curve_of_spee", "extrusion or intrusion of lower teeth; the upper arch only by the plane that it is seen in"},
    {"curve_of_wilson", "tilt of the molars to cheek or tongue"},
    {"incisor_inclination",
     "torque of the incisors; pitch of the upper arch (by the occlusal plane), of the lower jaw for lower teeth"},
    {"crown_inclination", "torque of the tooth; pitch of the jaw for lower teeth"},
    {"crown_angulation", "tip of the tooth; roll of the jaw for lower teeth"},
    {"occlusal_cant", "roll of the upper jaw"},
    {"occlusal_yaw", "yaw of the upper jaw"},
    {"contact", "any movement of a jaw by hundredths of a millimetre; wear; the limit of contact"},
    {"premature", "roll and pitch of a jaw; height of the tooth named"},
};

}  // namespace

std::string changed_by(const std::string& id) {
  for (const Change& change : kChanges) {
    if (id.rfind(change.id, 0) == 0) return change.words;
  }
  return "";
}

}  // namespace intercusp
