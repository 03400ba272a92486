/* Holds the emulated board at the places where the harness may act, counts what it executes, and cuts its power.
 *
 * The few declarations of the emulator's plugin interface that are used stand here, since its header is not packaged
 * everywhere. Arguments: socket=PATH, idle=ADDRESS, shown=ADDRESS, count=0|1|2, cut=INSTRUCTIONS,
 * watch=ADDRESS, own=PATH.
 *
 * At `idle`, unless idles are left to run through, one byte goes out and commands are read, each a word of 32 bits and,
 * for some, another one:
 *   1 N   run through N idles, this one included, and stop at the next
 *   2 N   the same, but stop at the first idle after something new was shown
 *   3     forget what was counted
 *   4     send what was counted: words of 32 bits, a count of pairs, then pairs of address and executions
 *   5     send how many instructions were executed since the start: two words, the lower one first
 *   6     send what was watched: how often it was written to `watch`, then for each time what 5 would have sent
 *
 * With count=1 whole blocks are counted. The emulator leaves a block at an access to a part of the board and does the rest as
 * another, so that what stands behind is counted twice; with count=2 every instruction is counted by itself, which is slower.
 * With `own`, a file with a bit for each half word of the flash, the lowest bit of a byte first, what runs where no bit stands is
 * counted to the last instruction before it that has one: to whoever called it.
 * With `cut`, the process kills itself when so many instructions were executed. Right before, one byte goes out and a
 * word: how often something new was shown since the start. The cut falls between two blocks of instructions. The emulator
 * begins a block after every access to a part of the board, so there is no
 * state of the parts that no cut can meet.
 */
#include <inttypes.h>
#include <signal.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/time.h>
#include <sys/un.h>
#include <unistd.h>

typedef uint64_t qemu_plugin_id_t;
struct qemu_plugin_tb;
struct qemu_plugin_insn;
struct qemu_info_t;
typedef void (*tb_trans_t)(qemu_plugin_id_t, struct qemu_plugin_tb *);
typedef void (*exec_t)(unsigned int, void *);
typedef void (*access_t)(unsigned int, uint32_t, uint64_t, void *);
void qemu_plugin_register_vcpu_tb_trans_cb(qemu_plugin_id_t, tb_trans_t);
void qemu_plugin_register_vcpu_insn_exec_cb(struct qemu_plugin_insn *, exec_t, int, void *);
void qemu_plugin_register_vcpu_tb_exec_cb(struct qemu_plugin_tb *, exec_t, int, void *);
void qemu_plugin_register_vcpu_mem_cb(struct qemu_plugin_insn *, access_t, int, int, void *);
size_t qemu_plugin_tb_n_insns(const struct qemu_plugin_tb *);
struct qemu_plugin_insn *qemu_plugin_tb_get_insn(const struct qemu_plugin_tb *, size_t);
uint64_t qemu_plugin_insn_vaddr(const struct qemu_plugin_insn *);

#ifndef INTERFACE
#define INTERFACE 1
#endif
__attribute__((visibility("default"))) int qemu_plugin_version = INTERFACE;

/* A translated block: the addresses of its instructions, and how often it was run. */
struct block {
    struct block *next;
    uint32_t executions;
    uint32_t instructions;
    int own;
    uint32_t addresses[];
};

/* The emulator's own: nanoseconds of one of its clocks. 1 is the board's. */
extern int64_t qemu_clock_get_ns(int) __attribute__((weak));

/* The host's time of day, for the emulator alone (it is preloaded with this): it goes as the board's does. The emulator keeps a
 * clock chip that is set as what it is ahead of the host's clock, and tells it by the board's; wherever the two had gone apart,
 * the chip would hold another time than it was given. */
__attribute__((visibility("default"))) int gettimeofday(struct timeval *restrict now, void *restrict zone)
{
    int64_t ns = qemu_clock_get_ns ? qemu_clock_get_ns(1) : 0;
    (void)zone;
    now->tv_sec = 1767225600 + ns / 1000000000; /* from 2026-01-01T00:00:00Z; any start will do */
    now->tv_usec = ns % 1000000000 / 1000;
    return 0;
}

static int harness = -1;
static uint64_t idle_at, shown_at;
static int counting;
static struct block *blocks;
static struct block *caller;         /* the last own one that was run */
static unsigned char own[1 << 18];   /* bits of half words; as much flash as there can be */
static size_t own_bytes;             /* 0: all are own */
static uint32_t left;       /* idles to run through */
static int until_shown;     /* but only until something new is shown */
static int fresh;           /* something new was shown */
static uint64_t executed;   /* instructions since the start */
static uint64_t cut_at;     /* so many executed, the power is cut; 0: never */
static uint32_t shows;      /* how often something new was shown */
static uint64_t watch_at;   /* writes to this address are watched; 0: none are */
static uint64_t *watched;
static uint32_t watches;

static void gone(void) { kill(getpid(), SIGKILL); }

static uint32_t word(void)
{
    uint32_t value;
    size_t have = 0;
    while (have < sizeof value) {
        ssize_t got = read(harness, (char *)&value + have, sizeof value - have);
        if (got <= 0)
            gone();
        have += (size_t)got;
    }
    return value;
}

static void out(const void *bytes, size_t count)
{
    const char *from = bytes;
    while (count > 0) {
        ssize_t put = write(harness, from, count);
        if (put <= 0)
            gone();
        from += put;
        count -= (size_t)put;
    }
}

static void send_counts(void)
{
    uint32_t pairs = 0;
    for (struct block *block = blocks; block; block = block->next)
        if (block->executions)
            pairs += block->instructions;
    out(&pairs, sizeof pairs);
    for (struct block *block = blocks; block; block = block->next)
        if (block->executions)
            for (uint32_t i = 0; i < block->instructions; i++) {
                uint32_t pair[2] = {block->addresses[i], block->executions};
                out(pair, sizeof pair);
            }
}

static void at_idle(unsigned int vcpu, void *data)
{
    (void)vcpu;
    (void)data;
    if (left > 0 && !(until_shown && fresh)) {
        left--;
        return;
    }
    fresh = 0;
    out("i", 1);
    for (;;) {
        uint32_t command = word();
        switch (command) {
        case 1:
        case 2:
            left = word();
            until_shown = command == 2;
            if (left > 0)
                left--;
            return;
        case 3:
            for (struct block *block = blocks; block; block = block->next)
                block->executions = 0;
            break;
        case 4:
            send_counts();
            break;
        case 5:
            out(&executed, sizeof executed);
            break;
        case 6:
            out(&watches, sizeof watches);
            out(watched, watches * sizeof *watched);
            break;
        default:
            gone();
        }
    }
}

static void at_shown(unsigned int vcpu, void *data)
{
    (void)vcpu;
    (void)data;
    fresh = 1;
    shows++;
}

static void at_one(unsigned int vcpu, void *data)
{
    struct block *block = data;
    (void)vcpu;
    if (block->own)
        caller = block;
    else if (caller)
        block = caller;
    block->executions++;
}

static int is_own(uint64_t address)
{
    return address / 16 < own_bytes && own[address / 16] >> address / 2 % 8 & 1;
}

static struct block *block_of(size_t count)
{
    struct block *block = malloc(sizeof *block + count * sizeof block->addresses[0]);
    if (!block)
        gone();
    block->executions = 0;
    block->instructions = (uint32_t)count;
    block->next = blocks;
    blocks = block;
    return block;
}

static void at_block(unsigned int vcpu, void *data)
{
    struct block *block = data;
    (void)vcpu;
    block->executions++;
    executed += block->instructions;
    if (cut_at > 0 && executed >= cut_at) {
        out("c", 1);
        out(&shows, sizeof shows);
        gone();
    }
}

static void at_write(unsigned int vcpu, uint32_t info, uint64_t address, void *data)
{
    (void)vcpu;
    (void)info;
    (void)data;
    if (address != watch_at)
        return;
    if (watches % 4096 == 0) {
        watched = realloc(watched, (watches + 4096) * sizeof *watched);
        if (!watched)
            gone();
    }
    watched[watches++] = executed;
}

static void translated(qemu_plugin_id_t id, struct qemu_plugin_tb *tb)
{
    size_t count = qemu_plugin_tb_n_insns(tb);
    (void)id;
    for (size_t i = 0; i < count; i++) {
        struct qemu_plugin_insn *insn = qemu_plugin_tb_get_insn(tb, i);
        uint64_t address = qemu_plugin_insn_vaddr(insn);
        if (address == idle_at)
            qemu_plugin_register_vcpu_insn_exec_cb(insn, at_idle, 0, NULL);
        if (address == shown_at)
            qemu_plugin_register_vcpu_insn_exec_cb(insn, at_shown, 0, NULL);
        if (watch_at)
            qemu_plugin_register_vcpu_mem_cb(insn, at_write, 0, 2, NULL);
        if (counting == 2) {
            struct block *one = block_of(1);
            one->addresses[0] = (uint32_t)address;
            one->own = own_bytes == 0 || is_own(address);
            qemu_plugin_register_vcpu_insn_exec_cb(insn, at_one, 0, one);
        }
    }
    if (counting == 1) {
        struct block *block = block_of(count);
        for (size_t i = 0; i < count; i++)
            block->addresses[i] = (uint32_t)qemu_plugin_insn_vaddr(qemu_plugin_tb_get_insn(tb, i));
        qemu_plugin_register_vcpu_tb_exec_cb(tb, at_block, 0, block);
    }
}

__attribute__((visibility("default"))) int qemu_plugin_install(qemu_plugin_id_t id, const struct qemu_info_t *info,
                                                               int argc, char **argv)
{
    struct sockaddr_un address = {.sun_family = AF_UNIX};
    (void)info;
    for (int i = 0; i < argc; i++) {
        if (!strncmp(argv[i], "socket=", 7))
            snprintf(address.sun_path, sizeof address.sun_path, "%s", argv[i] + 7);
        else if (!strncmp(argv[i], "idle=", 5))
            idle_at = strtoull(argv[i] + 5, NULL, 0) & ~(uint64_t)1;
        else if (!strncmp(argv[i], "shown=", 6))
            shown_at = strtoull(argv[i] + 6, NULL, 0) & ~(uint64_t)1;
        else if (!strncmp(argv[i], "count=", 6))
            counting = atoi(argv[i] + 6);
        else if (!strncmp(argv[i], "watch=", 6))
            watch_at = strtoull(argv[i] + 6, NULL, 0);
        else if (!strncmp(argv[i], "own=", 4)) {
            FILE *file = fopen(argv[i] + 4, "rb");
            own_bytes = file ? fread(own, 1, sizeof own, file) : 0;
            if (!own_bytes) {
                fprintf(stderr, "plugin: nothing in %s\n", argv[i] + 4);
                return -1;
            }
            fclose(file);
        } else if (!strncmp(argv[i], "cut=", 4))
            cut_at = strtoull(argv[i] + 4, NULL, 10);
    }
    harness = socket(AF_UNIX, SOCK_STREAM, 0);
    if (harness < 0 || connect(harness, (struct sockaddr *)&address, sizeof address) < 0) {
        fprintf(stderr, "plugin: no harness\n");
        return -1;
    }
    qemu_plugin_register_vcpu_tb_trans_cb(id, translated);
    return 0;
}
