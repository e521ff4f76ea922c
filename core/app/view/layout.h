#pragma once

#include "app/work/workspace.h"

namespace intercusp {

/// Number of views and their places within the view area for the layout's name (one, two, four, record).
/// `keep_width`: where a panel takes room beside the views, they go on showing as much from side to side.
void lay_out_views(Workspace& w, const Rect& area, bool keep_width = false);
/// Changes the layout; new views get the record views that belong to it.
void set_layout(Workspace& w, const std::string& layout);
/// A camera that shows a record view, or the whole case from where one looks now (name "fit").
Camera camera_for(const Workspace& w, const View& view, const std::string& name);
/// Whether everything that a view shows lies within its rectangle.
bool whole_in_view(const Workspace& w, const View& view);
/// Sends a view to a record view, gliding unless motion is reduced.
void send_view(Workspace& w, std::size_t view, const std::string& name);
/// Has the active view show the whole case where some of it is out of sight and the case holds bone: a cut may run
/// there.
void see_bone(Workspace& w);
/// Sends a view to any camera.
void glide_to(Workspace& w, std::size_t view, const Camera& to);
/// Before a view goes to a place of a list: from where it was looked at is kept, until look_from_before goes back
/// there.
void keep_looking_place(Workspace& w);
void look_from_before(Workspace& w);
/// Cuts through a place and sends the active view to look at the cut, square to it and upright.
void look_at_section(Workspace& w, const Vec3& at, const Vec3& normal, double half_height_mm);
/// Moves a camera on its way. True while one is.
bool advance_glide(Workspace& w);

}  // namespace intercusp
