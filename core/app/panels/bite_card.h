#pragma once

#include <imgui.h>

#include <string>
#include <utility>
#include <vector>

#include "app/scene/bite_card_data.h"
#include "app/view/camera.h"

namespace intercusp {

/// Places of the card that open an explanation: measure id and rectangle.
using CardDoors = std::vector<std::pair<std::string, Rect>>;

/// The bite card: the section through the measured incisors in the middle, molar and canine rulers as one looks at the
/// patient, midlines above, contacts below. `start` (may be null) stands behind in outline. Height asked:
/// card_height().
CardDoors draw_bite_card(ImDrawList* list, const Rect& rect, const BiteCardData& now, const BiteCardData* start);
float card_height();

// Parts of the card, each in its own rectangle.
void draw_card_midlines(ImDrawList* list, const Rect& r, const BiteCardData& now, const BiteCardData* start,
                        CardDoors& doors);
void draw_card_section(ImDrawList* list, const Rect& r, const BiteCardData& now, const BiteCardData* start,
                       CardDoors& doors);
/// `front` is +1 where the front of the mouth lies to the right of the ruler on the screen, else -1.
void draw_card_ruler(ImDrawList* list, const Rect& r, const char* name, const std::string& id, const SideReading& now,
                     const SideReading* start, int front, CardDoors& doors);
void draw_card_contacts(ImDrawList* list, const Rect& r, const BiteCardData& now);

}  // namespace intercusp
