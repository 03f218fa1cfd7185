/* Stands before the C library where no disk may be mounted: while the file FULL_DISK_MARK holds the number of an error,
   whatever is written below the folder FULL_DISK fails with it. A full disk (ENOSPC) still makes and removes names. */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/types.h>
#include <unistd.h>

static int below(const char *path) {
    const char *folder = getenv("FULL_DISK");
    char whole[4096];
    if (!folder || !path) return 0;
    if (path[0] != '/' && getcwd(whole, sizeof whole - strlen(path) - 2)) path = strcat(strcat(whole, "/"), path);
    return strncmp(path, folder, strlen(folder)) == 0;
}

static int fault(void) {
    int (*real_open)(const char *, int, ...) = dlsym(RTLD_NEXT, "open64");
    char text[8] = "";
    int file = real_open(getenv("FULL_DISK_MARK"), O_RDONLY | O_CLOEXEC);
    if (file < 0) return 0;
    if (read(file, text, sizeof text - 1) < 0) text[0] = 0;
    close(file);
    return atoi(text);
}

static int refused(int file) {
    char link[64], path[4096];
    snprintf(link, sizeof link, "/proc/self/fd/%d", file);
    ssize_t length = readlink(link, path, sizeof path - 1);
    if (length < 0) return 0;
    path[length] = 0; /* of a pipe it is no path */
    return path[0] == '/' && below(path) ? fault() : 0;
}

#define FAILS(wrong) if (wrong) { errno = wrong; return -1; }
#define LOCKED(path) int wrong = below(path) && fault() == EROFS ? EROFS : 0; FAILS(wrong)

#define OPEN(name) int name(const char *path, int flags, ...) { \
    va_list more; va_start(more, flags); mode_t mode = va_arg(more, mode_t); va_end(more); \
    if (flags & (O_CREAT | O_WRONLY | O_RDWR)) { LOCKED(path) } \
    return ((int (*)(const char *, int, ...))dlsym(RTLD_NEXT, #name))(path, flags, mode); }
OPEN(open)
OPEN(open64)

/* What is there already has its room. */
static int more(int file, off_t from, size_t size) {
    struct stat now;
    int wrong = refused(file);
    if (wrong == ENOSPC && from >= 0 && fstat(file, &now) == 0 && from + (off_t)size <= now.st_size) return 0;
    return wrong;
}

#define SIZED(name) int name(int file, off_t size) { \
    int wrong = more(file, 0, size); FAILS(wrong) \
    return ((int (*)(int, off_t))dlsym(RTLD_NEXT, #name))(file, size); }
SIZED(ftruncate)
SIZED(ftruncate64)

#define ALLOCATED(name) int name(int file, off_t from, off_t size) { \
    int wrong = refused(file); if (wrong) return wrong; \
    return ((int (*)(int, off_t, off_t))dlsym(RTLD_NEXT, #name))(file, from, size); }
ALLOCATED(posix_fallocate)
ALLOCATED(posix_fallocate64)

ssize_t write(int file, const void *data, size_t size) {
    int wrong = more(file, lseek(file, 0, SEEK_CUR), size);
    FAILS(wrong)
    return ((ssize_t (*)(int, const void *, size_t))dlsym(RTLD_NEXT, "write"))(file, data, size);
}

#define PLACED(name) ssize_t name(int file, const void *data, size_t size, off_t from) { \
    int wrong = more(file, from, size); FAILS(wrong) \
    return ((ssize_t (*)(int, const void *, size_t, off_t))dlsym(RTLD_NEXT, #name))(file, data, size, from); }
PLACED(pwrite)
PLACED(pwrite64)

int rename(const char *from, const char *to) {
    LOCKED(to)
    return ((int (*)(const char *, const char *))dlsym(RTLD_NEXT, "rename"))(from, to);
}

int mkdir(const char *path, mode_t mode) {
    int wrong = below(path) ? fault() : 0;
    FAILS(wrong)
    return ((int (*)(const char *, mode_t))dlsym(RTLD_NEXT, "mkdir"))(path, mode);
}
