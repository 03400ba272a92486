"""An nRF52840 that runs the image: a processor that is emulated, and models of the peripherals that the image uses.

Registers, tasks, events and shortcuts are as in the part's product specification, as far as the image uses them; time is
virtual, and passes by what the bus and the sleep take. What it does not do: cycles, analogue behaviour, errata, currents. Interrupts are
served where the processor sleeps or asks for the time.
"""

import struct
import subprocess
import tempfile
from pathlib import Path

from unicorn import UC_ARCH_ARM, UC_HOOK_CODE, UC_MODE_MCLASS, UC_MODE_THUMB, Uc
from unicorn import arm_const as arm

from parts import Clock, Display, Memory, Probe

CLOCK, UARTE, TWIM, SPIM, GPIOTE, SAADC, TIMER, WDT, RTC, NVMC, PPI, RNG = (
    0x40000000, 0x40002000, 0x40003000, 0x40004000, 0x40006000, 0x40007000, 0x40009000, 0x40010000, 0x40011000,
    0x4001E000, 0x4001F000, 0x4000D000)
GPIO, SYSTEM = 0x50000000, 0xE000E000
UICR, FICR = 0x10001000, 0x10000000
RETURNED = 0x0FF00000  # where a handler returns to
SDA, SCL, FROM_PC = 26, 27, 8
TICKS = 32768
WHOLE = 1 << 24  # ticks until the counter is at zero again


class Chip:
    def __init__(self, image, seed):
        flash = self.flash(image)
        self.uc = uc = Uc(UC_ARCH_ARM, UC_MODE_THUMB | UC_MODE_MCLASS)
        uc.ctl_set_cpu_model(arm.UC_CPU_ARM_CORTEX_M4)
        for start, size in ((0, 0x100000), (0x20000000, 0x40000), (FICR, 0x2000), (RETURNED, 0x1000)):
            uc.mem_map(start, size)
        uc.mem_write(0, flash)
        uc.mem_write(UICR, b"\xff" * 0x1000)
        if seed:
            uc.mem_write(UICR + 0x80, seed + b"1KOH")
        uc.mem_write(FICR + 0x60, bytes.fromhex("efcdab8967452301"))
        uc.mem_write(RETURNED, b"\xfe\xe7")  # a branch to itself
        for start, size in ((0x40000000, 0x30000), (GPIO, 0x1000), (0xE0000000, 0x100000)):
            uc.mmio_map(start, size, self.get, start, self.put, start)
        for sleep in range(0, len(flash) - 1, 2):
            if flash[sleep:sleep + 2] == b"\x20\xbf":  # wfe
                uc.hook_add(UC_HOOK_CODE, self.at_sleep, begin=sleep, end=sleep)
        uc.hook_add(UC_HOOK_CODE, self.at_time, begin=self.time_at, end=self.time_at)
        self.probe, self.clock, self.memory, self.display = Probe(), Clock(), Memory(), Display()
        self.parts = {0x48: self.probe, 0x68: self.clock, 0x50: self.memory}
        self.now, self.until, self.resets, self.sleeps, self.reset_reasons = 0.0, 0.0, 0, 0, 0
        self.pins = {11: 1, 12: 1, 24: 1, 25: 1, 40: 1, FROM_PC: 0, SDA: 1, SCL: 1}
        self.held, self.pulses = None, 0  # None, "short", or how many pulses a part wants
        self.sent, self.cells_mv, self.receiver, self.drawn = bytearray(), 4500, False, 17
        self.boot()

    def flash(self, image):
        """The flash, and where the image asks for the time."""
        with tempfile.NamedTemporaryFile() as file:
            subprocess.run(["arm-none-eabi-objcopy", "-O", "binary", image, file.name], check=True)
            raw = Path(file.name).read_bytes()
        names = subprocess.run(["arm-none-eabi-nm", image], check=True, capture_output=True, text=True).stdout.splitlines()
        times = [line.split() for line in names if "nrf52840" in line and line.endswith("4time9uptime_ms")]
        self.time_at = int(times[0][0], 16) & ~1
        return raw

    def boot(self):
        self.stack, start = struct.unpack("<II", self.uc.mem_read(0, 8))
        self.at = start & ~1
        self.uc.reg_write(arm.UC_ARM_REG_SP, self.stack)
        self.uc.reg_write(arm.UC_ARM_REG_PRIMASK, 0)
        self.registers, self.enabled, self.pending = {}, set(), set()
        self.serving, self.why, self.counting_since, self.counted = False, None, None, 0
        self.rtc_interrupts = self.uart_interrupts = self.channels = self.arrived = 0
        self.out, self.ring = [0, 0], None

    # ---- the processor

    def stop(self, why):
        self.why = why
        self.uc.emu_stop()

    def at_sleep(self, uc, address, size, data):
        self.after_sleep = address + 2
        self.stop("sleep")

    def at_time(self, uc, address, size, data):
        self.now += 1e-6
        self.count()
        if self.serving:
            return
        if self.now >= self.until:
            self.stop("time")
        if self.pending & self.enabled and not uc.reg_read(arm.UC_ARM_REG_PRIMASK) & 1:
            self.stop("interrupt")

    def serve(self):
        """Runs the handlers of what is pending; whether there was one."""
        served = False
        uc, kept = self.uc, [arm.UC_ARM_REG_SP, arm.UC_ARM_REG_LR, arm.UC_ARM_REG_XPSR]
        kept += [arm.UC_ARM_REG_R0 + number for number in range(13)]
        while self.pending & self.enabled and self.why != "reset":
            number = min(self.pending & self.enabled)
            self.pending.discard(number)
            values = [uc.reg_read(register) for register in kept]
            uc.reg_write(arm.UC_ARM_REG_SP, values[0] - 64)
            uc.reg_write(arm.UC_ARM_REG_LR, RETURNED | 1)
            at, self.serving, served = struct.unpack("<I", uc.mem_read(64 + 4 * number, 4))[0] & ~1, True, True
            while at != RETURNED and self.why != "reset":
                self.why = None
                uc.emu_start(at | 1, RETURNED)
                at = uc.reg_read(arm.UC_ARM_REG_PC)
            self.serving = False
            for register, value in zip(kept, values):
                uc.reg_write(register, value)
        return served

    def run(self, until):
        """Runs to a time, in seconds."""
        self.until = until
        while self.now < until:
            self.why = None
            self.uc.emu_start(self.at | 1, 0xFFFFFFF0)
            self.at = self.uc.reg_read(arm.UC_ARM_REG_PC)
            self.now += 1e-5
            if self.why == "sleep":
                self.at = self.after_sleep
                self.sleeps += 1
                if not self.serve():
                    self.now = max(self.now, min(self.alarm(), until + 1e-6))
                    self.count()
                    self.serve()
            elif self.why == "interrupt":
                self.serve()
            if self.why == "reset":
                self.resets += 1
                self.boot()

    # ---- time

    def ticks(self):
        return 0 if self.counting_since is None else int((self.now - self.counting_since) * TICKS)

    def compares(self):
        """Event, bit of its interrupt, and tick of everything the counter is compared with."""
        yield RTC + 0x104, 1, 0
        for channel in range(4):
            yield RTC + 0x140 + 4 * channel, 16 + channel, self.registers.get(RTC + 0x540 + 4 * channel, 0)

    def alarm(self):
        ticks, found = self.ticks(), 1e18
        for _, bit, tick in self.compares():
            if self.counting_since is not None and self.rtc_interrupts >> bit & 1:
                wait = (tick - ticks) % WHOLE or WHOLE
                found = min(found, self.counting_since + (ticks + wait + 0.01) / TICKS)
        return found

    def count(self):
        ticks = self.ticks()
        for event, bit, tick in self.compares():
            if self.counted < (ticks - tick) // WHOLE * WHOLE + tick <= ticks:
                self.registers[event] = 1
                if self.rtc_interrupts >> bit & 1:
                    self.pending.add(17)
        self.counted = ticks

    # ---- registers

    def get(self, uc, offset, size, base):
        address = base + offset
        if address == RTC + 0x504:
            self.now += 1e-3 if self.held else 2e-6
            self.count()
            return self.ticks() % WHOLE
        if address in (GPIO + 0x510, GPIO + 0x810):
            first = 0 if address < GPIO + 0x600 else 32
            return sum(self.level(first + pin) << pin for pin in range(32))
        fixed = {
            CLOCK + 0x400: self.reset_reasons, NVMC + 0x400: 1, PPI + 0x500: self.channels, UARTE + 0x300: self.uart_interrupts,
            GPIO + 0x504: self.out[0], GPIO + 0x804: self.out[1],
        }
        return fixed[address] if address in fixed else self.registers.get(address, 0)

    def level(self, pin):
        configuration = self.registers.get(GPIO + 0x700 + 4 * pin, 0) if pin < 32 else 0
        if configuration & 1 and pin in (SDA, SCL) and not self.out[0] >> pin & 1:
            return 0
        return 0 if pin == SDA and self.held else self.pins.get(pin, 0)

    def put(self, uc, offset, size, value, base):
        address = base + offset
        self.registers[address] = value
        peripheral, offset = address & 0xFFFFF000, address & 0xFFF
        use = {CLOCK: self.clocks, UARTE: self.uarte, TWIM: self.twim, SPIM: self.spim, SAADC: self.saadc, TIMER: self.timer,
               RTC: self.rtc, RNG: self.noise, PPI: self.ppi, GPIO: self.gpio, SYSTEM: self.system}.get(peripheral)
        if use:
            use(offset, value)

    def clocks(self, offset, value):
        if offset in (0x000, 0x008):
            self.registers[CLOCK + (0x100 if offset == 0 else 0x104)] = 1
        elif offset == 0x400:
            self.reset_reasons &= ~value

    def rtc(self, offset, value):
        if offset in (0x000, 0x008) and value:
            self.counting_since = self.now
        elif offset == 0x304:
            self.rtc_interrupts |= value
        elif offset == 0x308:
            self.rtc_interrupts &= ~value

    def noise(self, offset, value):
        """A byte is there as soon as the one before was taken; which one it is only has to differ."""
        if offset in (0x000, 0x100):
            self.drawn = (self.drawn * 5 + 113) % 251
            self.registers[RNG + 0x100], self.registers[RNG + 0x508] = int(self.registers.get(RNG + 0x000, 0)), self.drawn

    def ppi(self, offset, value):
        if offset == 0x504:
            self.channels |= value
        elif offset == 0x508:
            self.channels &= ~value

    def system(self, offset, value):
        numbers = {(offset & 0x1F) * 8 + bit for bit in range(32) if value >> bit & 1}
        if 0x100 <= offset < 0x120:
            self.enabled |= numbers
        elif 0x180 <= offset < 0x1A0:
            self.enabled -= numbers
        elif 0x200 <= offset < 0x220:
            self.pending |= numbers
        elif 0x280 <= offset < 0x2A0:
            self.pending -= numbers
        elif offset == 0xD0C and value & 4:
            self.reset_reasons |= 4
            self.stop("reset")

    def gpio(self, offset, value):
        port, offset = (1, offset - 0x300) if offset >= 0x800 else (0, offset)
        before = self.out[0] >> SCL & 1
        if offset == 0x508:
            self.out[port] |= value
        elif offset == 0x50C:
            self.out[port] &= ~value
        if isinstance(self.held, int) and not before and self.out[0] >> SCL & 1:
            self.held = self.held - 1 or None  # one pulse less is wanted

    # ---- peripherals

    def twim(self, offset, value):
        registers = self.registers
        read = lambda place: registers.get(TWIM + place, 0)
        if offset == 0x014 and not self.held:
            registers[TWIM + 0x104] = 1
        elif offset == 0x4C4:
            registers[TWIM + 0x4C4] = 0
        if offset not in (0x000, 0x008) or self.held:
            return
        part, shortcuts = self.parts.get(read(0x588)), read(0x200)
        if part is None or part is self.probe and not part.plugged:
            registers[TWIM + 0x4C4], registers[TWIM + 0x124] = 2, 1
            return
        if offset == 0x008:
            sent = bytes(self.uc.mem_read(read(0x544), read(0x548)))
            self.now += (1 + len(sent)) * 9e-5
            part.write(sent, self.now)
            registers[TWIM + 0x54C] = len(sent)
            if shortcuts >> 9 & 1:
                registers[TWIM + 0x104] = 1
        if offset == 0x000 or shortcuts >> 7 & 1:
            count = read(0x538)
            self.now += (1 + count) * 9e-5
            self.uc.mem_write(read(0x534), part.read(count, self.now))
            registers[TWIM + 0x53C] = count
            if shortcuts >> 12 & 1:
                registers[TWIM + 0x104] = 1

    def spim(self, offset, value):
        if offset == 0x010:
            sent = bytes(self.uc.mem_read(self.registers[SPIM + 0x544], self.registers[SPIM + 0x548]))
            self.now += len(sent) * 2e-6
            assert not self.out[1] >> 12 & 1 and self.out[1] >> 10 & 1, "the display is not selected, or in reset"
            (self.display.data if self.out[1] >> 11 & 1 else self.display.commands)(sent)
            self.registers[SPIM + 0x54C], self.registers[SPIM + 0x118] = len(sent), 1
        elif offset == 0x014:
            self.registers[SPIM + 0x104] = 1

    def saadc(self, offset, value):
        if offset == 0x004:
            count = self.cells_mv * 4096 // 6000
            self.uc.mem_write(self.registers[SAADC + 0x62C], struct.pack("<h", count))
        event = {0x000: 0x100, 0x004: 0x104, 0x008: 0x114}.get(offset)
        if event:
            self.registers[SAADC + event] = 1

    def timer(self, offset, value):
        if offset == 0x040:
            self.registers[TIMER + 0x540] = self.arrived
        elif offset == 0x00C:
            self.arrived = 0

    UART_EVENTS = {2: 0x108, 4: 0x110, 8: 0x120, 17: 0x144, 19: 0x14C, 22: 0x158}

    def uart_event(self, bit):
        self.registers[UARTE + self.UART_EVENTS[bit]] = 1
        if self.uart_interrupts >> bit & 1:
            self.pending.add(2)

    def uarte(self, offset, value):
        registers = self.registers
        if offset == 0x304:
            self.uart_interrupts |= value
            if any(value >> bit & 1 and registers.get(UARTE + event, 0) for bit, event in self.UART_EVENTS.items()):
                self.pending.add(2)
        elif offset == 0x308:
            self.uart_interrupts &= ~value
        elif offset == 0x500:
            self.receiver = value == 8
        elif offset == 0x000:
            self.ring = [registers[UARTE + 0x534], registers[UARTE + 0x538]]
            self.uart_event(19)
        elif offset == 0x004:
            self.ring = None
            self.uart_event(17)
        elif offset == 0x008:
            sent = self.uc.mem_read(registers[UARTE + 0x544], registers[UARTE + 0x548])
            self.sent += sent
            self.now += len(sent) * 8.7e-5
            self.uart_event(8)
        elif offset == 0x00C:
            self.uart_event(22)

    # ---- whoever is outside

    def receive(self, byte):
        """A byte from the PC; whether somebody took it."""
        if not (self.receiver and self.ring):
            return False
        self.uc.mem_write(self.ring[0], bytes([byte]))
        self.ring = [self.ring[0] + 1, self.ring[1] - 1]
        self.arrived = (self.arrived + 1) % self.registers.get(TIMER + 0x544, 1 << 32)
        self.uart_event(2)
        if self.ring[1] == 0:
            self.ring = None
            if self.channels >> 1 & 1:  # the end starts it anew
                self.channels &= ~2
                self.uarte(0x000, 1)
            self.uart_event(4)
        return True

    def set_pin(self, pin, level):
        self.pins[pin] = level
        port = GPIO + 0x700 if pin < 32 else GPIO + 0xA00
        if self.registers.get(port + 4 * (pin % 32), 0) >> 16 & 3 == (2 if level else 3):
            self.registers[GPIOTE + 0x17C] = 1
            self.pending.add(6)

    def press(self, *pins):
        for pin in pins:
            for level, seconds in ((0, 0.1), (1, 0.15)):
                self.set_pin(pin, level)
                self.run(self.now + seconds)
