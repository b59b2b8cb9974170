#include "audio/write_trouble.hpp"

#include <cerrno>
#include <cstring>

#include "units/error.hpp"

namespace cranknote {

void refuse_write(const std::string& path, int why) {
    switch (why) {
        case ENOSPC:
        case EDQUOT:
            throw Error("there is no room left on the disk", path, "free some space and save again");
        case EACCES:
        case EPERM:
        case EROFS:
            throw Error("no right to write there", path, "choose another folder");
        case ENOENT:
        case ENOTDIR:
            throw Error("the folder is not there", path, "make the folder first");
        case EISDIR:
            throw Error("a folder has that name", path, "choose another name");
        default:
            throw Error(std::string("cannot be written: ") + std::strerror(why), path, "check the disk");
    }
}

}  // namespace cranknote
