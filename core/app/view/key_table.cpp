#include "app/view/key_table.h"

namespace intercusp {

const std::vector<KeyRow>& key_rows() {
  static const std::vector<KeyRow> rows = {{"1 2 3 4 5", "front, right, left, upper, lower"},
                                           {"0", "fit the case into the view"},
                                           {"V", "one, two, four views, the five of a record"},
                                           {"S", "section through the incisors"},
                                           {"C", "contact map"},
                                           {"H", "what is shown: jaws, outline, pictures"},
                                           {"G", "outline of the start"},
                                           {"N", "tooth numbers"},
                                           {"P", "paint a zone on a body, or end it"},
                                           {"R", "ruler between two places, or lay it aside"},
                                           {"?", "this list"},
                                           {"Arrows", "nudge the jaw, or the cut: its level, its slope"},
                                           {"Shift + arrows", "nudge by ten steps"},
                                           {"Alt + arrows, + -", "turn the model, zoom"},
                                           {"Page Up, Page Down", "the stop before, the next stop"},
                                           {"Tab, then Enter", "from control to control, press it"},
                                           {"Arrows while placing", "move the aim, Enter puts the point"},
                                           {"Ctrl+Z, Ctrl+Shift+Z", "undo, redo"},
                                           {"Ctrl+S, Ctrl+O", "save the case file, open files"},
                                           {"Esc", "back out of anything"},
                                           {"Left drag", "turn about the point under the pointer"},
                                           {"Right drag, two fingers", "move the picture"},
                                           {"Wheel, pinch", "zoom to the pointer"},
                                           {"Double click", "bring a place to the middle"},
                                           {"Alt while dragging", "a finer step"}};
  return rows;
}

const std::vector<KeyRow>& finger_rows() {
  static const std::vector<KeyRow> rows = {{"One finger", "turn the model about the place touched"},
                                           {"Two fingers", "move the picture, and zoom"},
                                           {"Tap the small head", "look from that side"},
                                           {"Tap twice", "bring a place to the middle"},
                                           {"Tap", "press; with a tool in hand: put a point"},
                                           {"Drag an arrow", "move the jaw along it"},
                                           {"Tap a number", "type it; drag it sideways to change it"},
                                           {"Drag a panel", "scroll to what is below"}};
  return rows;
}

const std::vector<ButtonKey>& button_keys() {
  static const std::vector<ButtonKey> keys = {{"view.front", "1", "from the front"},
                                              {"view.right", "2", "from the patient's right"},
                                              {"view.left", "3", "from the patient's left"},
                                              {"view.upper", "4", "the upper arch from below"},
                                              {"view.lower", "5", "the lower arch from above"},
                                              {"view.fit", "0", "the whole case"},
                                              {"layout.one", "V", "one view, then two, four and the record's five"},
                                              {"layout.two", "V", "two views"},
                                              {"layout.four", "V", "four views"},
                                              {"layout.record", "V", "the five views of a record"},
                                              {"tool.section", "S", "cut through the jaws"},
                                              {"tool.contacts", "C", "colour the gap between the jaws"},
                                              {"tool.ruler", "R", "the distance between two places"},
                                              {"tool.show", "H", "jaws, outline of the start, tooth numbers, pictures"},
                                              {"show.ghost", "G", "outline of the start"},
                                              {"show.numbers", "N", "tooth numbers"},
                                              {"zone.paint", "P", "paint a zone on a body"},
                                              {"contact_map.step", "C", "colour the gap between the jaws"},
                                              {"keys", "?", "what the keys do"},
                                              {"save", "Ctrl+S", "the whole case as one file"},
                                              {"undo", "Ctrl+Z", "take the last step back"},
                                              {"redo", "Ctrl+Shift+Z", "do it again"}};
  return keys;
}

std::string key_hint(const std::string& button) {
  for (const ButtonKey& b : button_keys())
    if (button == b.button) return std::string("Key ") + b.key + ": " + b.words;
  return {};
}

}  // namespace intercusp
