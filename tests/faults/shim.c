/* Preloaded into castclock by power_cut.py: writes down, in their true order, every change of a
 * file under CUT_ROOT and every wait for the disk, so that what a power cut leaves can be rebuilt.
 *
 * Each record is one write to CUT_LOG: struct head, path, second path, data. A lock is held over
 * the real call and its record, so that the order of the log is the order of the calls.
 * Files ending in -shm are left out: that is memory shared between processes, empty after a cut.
 * CUT_CLOCK names a file of nanoseconds (int64) by which the wall clock is wrong.
 */
#define _GNU_SOURCE
#include <fcntl.h>
#include <limits.h>
#include <pthread.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <sys/time.h>
#include <sys/uio.h>
#include <time.h>
#include <unistd.h>

enum { OPEN = 'o', CREATE = 'c', WRITE = 'w', SIZE = 't', SYNC = 's', SYNC_FOLDER = 'd',
       RENAME = 'r', LINK = 'l', UNLINK = 'u', FOLDER = 'm' };

struct head { uint32_t op, file; uint64_t at; uint32_t path, second, data; } __attribute__((packed));

#define MOST 65536
static pthread_mutex_t lock = PTHREAD_MUTEX_INITIALIZER;
static uint32_t file_of[MOST];    /* by descriptor; 0: not ours */
static char *folder_of[MOST];     /* by descriptor of a folder under the root */
static struct { uint64_t inode; uint32_t file; } known[MOST];
static uint32_t files, kinds;
static int log_fd = -1;
static char root[PATH_MAX];
static size_t root_length;
static volatile int64_t *wrong_by;


__attribute__((constructor)) static void begin(void) {
  const char *path = getenv("CUT_CLOCK");
  if (path) {
    int fd = syscall(SYS_openat, AT_FDCWD, path, O_RDONLY);
    void *map = fd < 0 ? MAP_FAILED : mmap(0, sizeof *wrong_by, PROT_READ, MAP_SHARED, fd, 0);
    if (map == MAP_FAILED) abort();
    wrong_by = map;
  }
  const char *at = getenv("CUT_ROOT"), *to = getenv("CUT_LOG");
  if (!at || !to) return;
  strncpy(root, at, sizeof root - 1);
  root_length = strlen(root);
  log_fd = syscall(SYS_openat, AT_FDCWD, to, O_WRONLY | O_CREAT | O_APPEND | O_CLOEXEC, 0600);
  if (log_fd < 0) abort();
}

static void note(uint32_t op, uint32_t file, uint64_t at, const char *path, const char *second,
                 const void *data, size_t length) {
  struct head head = {op, file, at, path ? strlen(path) : 0, second ? strlen(second) : 0, length};
  struct iovec parts[] = {{&head, sizeof head}, {(void *)path, head.path},
                          {(void *)second, head.second}, {(void *)data, length}};
  size_t whole = sizeof head + head.path + head.second + length;
  if ((size_t)syscall(SYS_writev, log_fd, parts, 4) != whole) abort();
}

/* The absolute path when it lies under the root and counts, else 0. */
static const char *ours(int folder, const char *path, char *out) {
  char whole[PATH_MAX];
  if (log_fd < 0 || !path || !*path) return 0;
  if (path[0] != '/') {
    char link[64];
    if (folder == AT_FDCWD) {
      if (!getcwd(whole, sizeof whole)) return 0;
    } else {
      snprintf(link, sizeof link, "/proc/self/fd/%d", folder);
      ssize_t n = readlink(link, whole, sizeof whole - 1);
      if (n < 0) return 0;
      whole[n] = 0;
    }
    if (strlen(whole) + strlen(path) + 2 > sizeof whole) return 0;
    strcat(strcat(whole, "/"), path);
    path = whole;
  }
  size_t n = strlen(path);
  if (strncmp(path, root, root_length) || (path[root_length] != '/' && path[root_length])) return 0;
  if (n > 4 && !strcmp(path + n - 4, "-shm")) return 0;
  return strcpy(out, path);
}

static uint32_t number(int fd, int fresh) {
  struct stat about;
  if (fstat(fd, &about)) return 0;
  for (uint32_t k = 0; k < kinds; k++)
    if (known[k].inode == about.st_ino) {
      if (fresh) known[k].file = ++files;
      return known[k].file;
    }
  if (kinds == MOST) abort();
  known[kinds].inode = about.st_ino;
  known[kinds].file = ++files;
  return known[kinds++].file;
}

static int opened(int folder, const char *path, int flags, mode_t mode) {
  char whole[PATH_MAX];
  const char *mine = ours(folder, path, whole);
  if (!mine) return syscall(SYS_openat, folder, path, flags, mode);
  pthread_mutex_lock(&lock);
  struct stat about;
  int fresh = stat(mine, &about) != 0;
  int fd = syscall(SYS_openat, folder, path, flags, mode);
  if (fd >= 0 && fd < MOST && !fstat(fd, &about)) {
    file_of[fd] = 0;
    free(folder_of[fd]);
    folder_of[fd] = S_ISDIR(about.st_mode) ? strdup(mine) : 0;
    if (S_ISREG(about.st_mode)) {
      file_of[fd] = number(fd, fresh);
      note(fresh ? CREATE : OPEN, file_of[fd], 0, mine, 0, 0, 0);
      if (flags & O_TRUNC) note(SIZE, file_of[fd], 0, 0, 0, 0, 0);
    }
  }
  pthread_mutex_unlock(&lock);
  return fd;
}

#define MODE(last) mode_t mode = 0; if (flags & (O_CREAT | O_TMPFILE)) { \
  va_list more; va_start(more, last); mode = va_arg(more, mode_t); va_end(more); }
int open(const char *path, int flags, ...) { MODE(flags) return opened(AT_FDCWD, path, flags, mode); }
int open64(const char *path, int flags, ...) { MODE(flags) return opened(AT_FDCWD, path, flags | O_LARGEFILE, mode); }
int openat(int at, const char *path, int flags, ...) { MODE(flags) return opened(at, path, flags, mode); }
int openat64(int at, const char *path, int flags, ...) { MODE(flags) return opened(at, path, flags | O_LARGEFILE, mode); }

int close(int fd) {
  if (fd >= 0 && fd < MOST && (file_of[fd] || folder_of[fd])) {
    pthread_mutex_lock(&lock);
    file_of[fd] = 0;
    free(folder_of[fd]);
    folder_of[fd] = 0;
    pthread_mutex_unlock(&lock);
  }
  return syscall(SYS_close, fd);
}

static int watched(int fd) { return fd >= 0 && fd < MOST && file_of[fd]; }

static ssize_t written(int fd, const void *data, size_t length, off_t at, int here) {
  if (!watched(fd))
    return here ? syscall(SYS_write, fd, data, length) : syscall(SYS_pwrite64, fd, data, length, at);
  pthread_mutex_lock(&lock);
  if (here) {
    struct stat about;
    int appends = fcntl(fd, F_GETFL) & O_APPEND;
    at = appends && !fstat(fd, &about) ? about.st_size : lseek(fd, 0, SEEK_CUR);
  }
  ssize_t n = here ? syscall(SYS_write, fd, data, length) : syscall(SYS_pwrite64, fd, data, length, at);
  if (n > 0) note(WRITE, file_of[fd], at, 0, 0, data, n);
  pthread_mutex_unlock(&lock);
  return n;
}
ssize_t write(int fd, const void *data, size_t length) { return written(fd, data, length, 0, 1); }
ssize_t pwrite(int fd, const void *data, size_t length, off_t at) { return written(fd, data, length, at, 0); }
ssize_t pwrite64(int fd, const void *data, size_t length, off64_t at) { return written(fd, data, length, at, 0); }

/* What the kernel copies by itself is refused for our files: callers then copy by write. */
#include <errno.h>
ssize_t sendfile(int out, int in, off_t *at, size_t length) {
  if (watched(out)) { errno = ENOTSOCK; return -1; }
  return syscall(SYS_sendfile, out, in, at, length);
}
ssize_t sendfile64(int out, int in, off64_t *at, size_t length) { return sendfile(out, in, at, length); }
ssize_t writev(int fd, const struct iovec *parts, int count) {
  if (watched(fd)) abort();
  return syscall(SYS_writev, fd, parts, count);
}
ssize_t copy_file_range(int in, off64_t *a, int out, off64_t *b, size_t length, unsigned flags) {
  if (watched(out)) { errno = EXDEV; return -1; }
  return syscall(SYS_copy_file_range, in, a, out, b, length, flags);
}
int fallocate(int fd, int mode, off_t at, off_t length) {
  if (watched(fd)) { errno = EOPNOTSUPP; return -1; }
  return syscall(SYS_fallocate, fd, mode, at, length);
}
int fallocate64(int fd, int mode, off64_t at, off64_t length) { return fallocate(fd, mode, at, length); }
int posix_fallocate(int fd, off_t at, off_t length) {
  return watched(fd) ? EOPNOTSUPP : syscall(SYS_fallocate, fd, 0, at, length) ? errno : 0;
}

int ftruncate(int fd, off_t size) {
  if (!watched(fd)) return syscall(SYS_ftruncate, fd, size);
  pthread_mutex_lock(&lock);
  int failed = syscall(SYS_ftruncate, fd, size);
  if (!failed) note(SIZE, file_of[fd], size, 0, 0, 0, 0);
  pthread_mutex_unlock(&lock);
  return failed;
}
int ftruncate64(int fd, off64_t size) { return ftruncate(fd, size); }

/* The disk itself is not waited for: nobody cuts the power of this machine. */
static int synced(int fd) {
  if (fd < 0 || fd >= MOST || (!file_of[fd] && !folder_of[fd])) return 0;
  pthread_mutex_lock(&lock);
  if (folder_of[fd]) note(SYNC_FOLDER, 0, 0, folder_of[fd], 0, 0, 0);
  else note(SYNC, file_of[fd], 0, 0, 0, 0, 0);
  pthread_mutex_unlock(&lock);
  return 0;
}
int fsync(int fd) { return synced(fd); }
int fdatasync(int fd) { return synced(fd); }

static int moved(uint32_t op, long call, int at, const char *path, int to, const char *second, int flags) {
  char a[PATH_MAX], b[PATH_MAX];
  const char *from = ours(at, path, a), *into = second ? ours(to, second, b) : 0;
  pthread_mutex_lock(&lock);
  int failed = call == SYS_renameat2 ? syscall(call, at, path, to, second, flags)
             : call == SYS_linkat ? syscall(call, at, path, to, second, flags)
             : call == SYS_mkdirat ? syscall(call, at, path, flags) : syscall(call, at, path, flags);
  if (!failed && log_fd >= 0 && (from || into)) note(op, 0, 0, from ? from : "", into, 0, 0);
  pthread_mutex_unlock(&lock);
  return failed;
}
int rename(const char *path, const char *to) { return moved(RENAME, SYS_renameat2, AT_FDCWD, path, AT_FDCWD, to, 0); }
int renameat(int a, const char *path, int b, const char *to) { return moved(RENAME, SYS_renameat2, a, path, b, to, 0); }
int link(const char *path, const char *to) { return moved(LINK, SYS_linkat, AT_FDCWD, path, AT_FDCWD, to, 0); }
int linkat(int a, const char *path, int b, const char *to, int flags) { return moved(LINK, SYS_linkat, a, path, b, to, flags); }
int unlink(const char *path) { return moved(UNLINK, SYS_unlinkat, AT_FDCWD, path, 0, 0, 0); }
int unlinkat(int at, const char *path, int flags) { return moved(UNLINK, SYS_unlinkat, at, path, 0, 0, flags); }
int mkdir(const char *path, mode_t mode) { return moved(FOLDER, SYS_mkdirat, AT_FDCWD, path, 0, 0, mode); }

static int64_t late(clockid_t which) {
  return wrong_by && (which == CLOCK_REALTIME || which == CLOCK_REALTIME_COARSE) ? *wrong_by : 0;
}
int clock_gettime(clockid_t which, struct timespec *out) {
  int failed = syscall(SYS_clock_gettime, which, out);
  int64_t by = failed ? 0 : late(which);
  if (by) {
    int64_t ns = out->tv_nsec + by % 1000000000;
    out->tv_sec += by / 1000000000 + (ns >= 1000000000) - (ns < 0);
    out->tv_nsec = (ns + 1000000000) % 1000000000;
  }
  return failed;
}
int gettimeofday(struct timeval *restrict out, void *restrict zone) {
  struct timespec now;
  (void)zone;
  if (clock_gettime(CLOCK_REALTIME, &now)) return -1;
  out->tv_sec = now.tv_sec;
  out->tv_usec = now.tv_nsec / 1000;
  return 0;
}
time_t time(time_t *out) {
  struct timespec now;
  clock_gettime(CLOCK_REALTIME, &now);
  if (out) *out = now.tv_sec;
  return now.tv_sec;
}
