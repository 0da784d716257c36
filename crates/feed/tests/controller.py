"""A controller of pymodbus on the loopback address: prints its port once it listens, ends with its input.

Given a rehearsal's log, its first registers follow the last row of that: sensor and set point in tenths of °C, duty in
percent, meter in Wh as two words. Whatever it is asked beyond reading is printed."""

import asyncio
import csv
import socket
import struct
import sys

from pymodbus.datastore import ModbusDeviceContext, ModbusSequentialDataBlock, ModbusServerContext
from pymodbus.server import ModbusTcpServer

COLUMNS = ("sensor_c", "set_point_c", "duty_percent", "meter_kwh")


def asked(sending, pdu):
    if not sending and pdu.function_code not in (3, 4):
        print(f"asked by function {pdu.function_code}", flush=True)
    return pdu


def last_row(path):
    """The last whole row of a log that grows."""
    try:
        with open(path) as file:
            text = file.read()
    except FileNotFoundError:
        return None
    rows = list(csv.DictReader(text[: text.rfind("\n") + 1].splitlines()))
    return rows[-1] if rows else None


async def follow(path, server):
    while True:
        if row := last_row(path):
            sensor, set_point, duty, meter = (float(row[c] or 0) for c in COLUMNS)
            energy = struct.unpack(">HH", struct.pack(">I", round(meter * 1000)))
            await server.async_setValues(7, 16, 0, [round(sensor * 10), round(set_point * 10), round(duty), *energy])
        await asyncio.sleep(0.1)


async def main():
    words = [12225, 0xFFF0, 0x8000, *struct.unpack(">HH", struct.pack(">f", 1180.5)), 0x86A0, 0x0001, 35]
    # Its blocks count from 1 for the address 0 on the wire.
    block = lambda values: ModbusSequentialDataBlock(1, values)
    device = ModbusDeviceContext(hr=block(words), ir=block([2232]))
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    context = ModbusServerContext(devices={7: device}, single=False)
    server = ModbusTcpServer(context, address=("127.0.0.1", port), trace_pdu=asked)
    await server.serve_forever(background=True)
    following = asyncio.create_task(follow(sys.argv[1], server)) if sys.argv[1:] else None
    print(port, flush=True)
    await asyncio.get_running_loop().run_in_executor(None, sys.stdin.read)
    if following:
        following.cancel()
    await server.shutdown()


asyncio.run(main())
