#pragma once

#include <imgui.h>

#include "app/view/camera.h"
#include "app/work/workspace.h"

namespace intercusp {

/// Where everything is on the screen this frame, device pixels.
struct Screen {
  Rect top, left, right, foot, view;
  bool low = false;      ///< a phone held sideways: one panel at a time stands beside the view
  bool upright = false;  ///< a tablet held upright: the reading is a band below the view, the step slides over it
};
/// A phone held sideways: no room for bands, nor for a second line of tools.
bool low_screen(float width, float height);
Screen arrange(const Workspace& w, float width, float height);

void top_bar(Workspace& w, const Rect& r);
void foot_line(Workspace& w, const Rect& r);
void step_panel(Workspace& w, const Rect& r, bool slides);
void reading_panel(Workspace& w, const Rect& r, bool side_by_side);

// What the step panel shows at each stop.
void records_step(Workspace& w);
/// The point that is placed or looked at, where there is one.
void wanted_landmark(Workspace& w);
void landmark_list(Workspace& w);
void tooth_clicks(Workspace& w);
/// What is recorded of the face, and what the plan makes of it.
void face_form(Workspace& w);
void face_outcome(Workspace& w);
void bite_step(Workspace& w);
void movement_step(Workspace& w);
void movement_note(Workspace& w);
void movement_numbers(Workspace& w);
/// How the plan's moves are reported to hold, in short.
void stability_rows(Workspace& w);
void clearance_step(Workspace& w);
/// Pages of the clearance stop.
void removal_page(Workspace& w);
void plate_page(Workspace& w);
void target_step(Workspace& w);
/// The condyle centres, said in distances: for a case without bone.
void condyle_fields(Workspace& w);
void cuts_step(Workspace& w);
void splint_step(Workspace& w);
void sheet_step(Workspace& w);
void agree_step(Workspace& w);
void remark_list(Workspace& w);
void plan_versions(Workspace& w);

/// `whole`: every row, as the panel scrolls itself.
void number_table(Workspace& w, bool whole = false);
void view_tools(Workspace& w, const Rect& view);
/// Of these the sides to look from alone.
void side_buttons(Workspace& w, const Rect& view);
/// Room that the tools take at the top of the views; several views begin below it.
float tool_strip_height(float room);
void gap_legend(Workspace& w, const Rect& view);
/// Of the walls of a splint, where they are coloured.
void thickness_legend(Workspace& w, const Rect& view);
/// Room that a legend takes at the foot of the view; 0 without one.
float legend_room(const Workspace& w);
void section_box(Workspace& w, const Rect& view);
/// Beside a hand that paints a zone.
void zone_bar(Workspace& w, const Rect& view);
/// Beside a position of the plan that is not its end.
void position_bar(Workspace& w, const Rect& view);
/// The same in full, with the sources, over the view.
void stability_card(Workspace& w, const Rect& view);
void show_box(Workspace& w, const Screen& s);
void explain_popover(Workspace& w, const Screen& s);
void share_box(Workspace& w, const Screen& s);
/// Who one is, before a link to a shared case is opened.
void join_box(Workspace& w, const Screen& s);
/// Who is here, and looking with them.
void people_box(Workspace& w, const Screen& s);
/// On the sheet's stop and where people agree: how many places are in its way, and a link to the list; nothing where
/// none is, or where the start is shown.
void say_what_is_in_the_way(Workspace& w);
/// What this place keeps, and erasing it.
void kept_box(Workspace& w, const Screen& s);
void name_box(Workspace& w, const Screen& s);
void history_box(Workspace& w, const Screen& s);
/// Two plans beside each other: what differs of movements, bite and overlap.
void plans_box(Workspace& w, const Screen& s);
/// The ways to it: one for each other plan.
void plans_beside_links(Workspace& w);
/// The one-minute try, in the corner of the views. Gives where it begins: the views' foot while it is not in sight.
float guide(Workspace& w, const Rect& view);
void keys_help(Workspace& w, const Screen& s);
void start_page(Workspace& w, const Screen& s);
/// Messages stand above `foot`.
void show_messages(Workspace& w, const Screen& s, float foot);
/// Practice: its bar, question, answer and marking around the view.
void practice_place(Workspace& w, const Screen& s);
/// A teacher's page, in place of everything else.
void class_page(Workspace& w, const Screen& s);
/// What is being done beside the screen, once it has taken a moment; `since` on the app's clock, negative = nothing.
void errand_line(Workspace& w, const Screen& s, double since);

/// Begins a borderless window of the interface; true when its contents are to be made. End with ImGui::End().
bool begin_panel(const char* id, const Rect& r, bool scrolls = false);
/// Of one that scrolls: the foot fades while there is more below, so that no line looks cut off.
void end_scrolling_panel();
/// A panel that floats over the views, with rounded corners; ended by end_over_view.
void begin_over_view(const char* id, const Rect& r, ImVec2 padding);
void end_over_view();

}  // namespace intercusp
