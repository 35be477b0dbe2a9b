// A mount as the console writes it, and back.
#pragma once

#include "armwise/console/profile.hpp"
#include "armwise/craft/rotation.hpp"

namespace armwise::console {

// The values that `mount.set` and its like take. Throws Fault(refused) where the console has no code for it.
Values mount_values(const MountAbility& ability, const craft::YawPitchRoll& mount);

// Throws Fault(unreadable) where a code is not in the list.
craft::YawPitchRoll mount_read(const Profile& profile, const Values& values);

// This mount as the console will hold it: rounded to the digits that it takes, where that makes a difference
// worth telling (0.05 degrees). A mount that is a code out of a list is left as it is.
craft::YawPitchRoll mount_as_held(const Profile& profile, const craft::YawPitchRoll& mount);

// Degrees in the last digit that it keeps of an angle; zero where its mounts are codes.
double last_digit(const MountAbility& ability);
// Whether what was read back is what was written: as rotations, to half of the last digit written.
bool same_mount(const MountAbility& ability, const craft::YawPitchRoll& written,
                const craft::YawPitchRoll& read);

}  // namespace armwise::console
