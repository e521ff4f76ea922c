# Dear ImGui for both builds, from Debian's source package, fetched into the build folder.
