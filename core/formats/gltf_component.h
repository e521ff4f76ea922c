#pragma once

namespace intercusp {

/// Types of the parts of an accessor: glTF 2.0, section 5.1.3.
enum GltfComponent { kByte = 5120, kUnsignedByte, kShort, kUnsignedShort, kUnsignedInt = 5125, kFloat };

}  // namespace intercusp
