"""A controller of pymodbus on the loopback address: prints its port once it listens, ends with its input."""

import asyncio
import socket
import struct
import sys

from pymodbus.datastore import ModbusDeviceContext, ModbusSequentialDataBlock, ModbusServerContext
from pymodbus.server import ModbusTcpServer


async def main():
    words = [12225, 0xFFF0, 0x8000, *struct.unpack(">HH", struct.pack(">f", 1180.5)), 0x86A0, 0x0001, 35]
    # Its blocks count from 1 for the address 0 on the wire.
    block = lambda values: ModbusSequentialDataBlock(1, values)
    device = ModbusDeviceContext(hr=block(words), ir=block([2232]))
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    server = ModbusTcpServer(ModbusServerContext(devices={7: device}, single=False), address=("127.0.0.1", port))
    await server.serve_forever(background=True)
    print(port, flush=True)
    await asyncio.get_running_loop().run_in_executor(None, sys.stdin.read)
    await server.shutdown()


asyncio.run(main())
