"""A mail server of others: prints its port, then every message as its own library reads it, a JSON object a line."""

import asyncio
import email
import email.policy
import json
import sys

from aiosmtpd.smtp import SMTP, AuthResult


class Inbox:
    async def handle_DATA(self, server, session, envelope):
        message = email.message_from_bytes(envelope.content, policy=email.policy.default)
        print(json.dumps({
            "rcpt": envelope.rcpt_tos,
            "mail_from": envelope.mail_from,
            "heads": [name for name, _ in message.items()],
            "subject": str(message["subject"]),
            "from": message["from"].addresses[0].addr_spec,
            "name": message["from"].addresses[0].display_name,
            "to": ", ".join(a.addr_spec for a in message["to"].addresses),
            "id": str(message["message-id"]),
            "date": message["date"].datetime.isoformat(),
            "importance": message["importance"],
            "defects": [str(d) for d in message.defects] + [str(d) for h in message.values() for d in h.defects],
            "parts": len(list(message.walk())),
            "text": message.get_content(),
        }), flush=True)
        return "250 taken"


def known(server, session, envelope, mechanism, data):
    return AuthResult(success=data.login == b"kilns" and data.password == b"peat fire")


async def main():
    signed = "--signed" in sys.argv
    loop = asyncio.get_running_loop()
    more = {"authenticator": known, "auth_required": True, "auth_require_tls": False} if signed else {}
    make = lambda: SMTP(Inbox(), hostname="inbox.moor.example", enable_SMTPUTF8=True, **more)
    server = await loop.create_server(make, "127.0.0.1", 0)
    print(server.sockets[0].getsockname()[1], flush=True)
    await server.serve_forever()


asyncio.run(main())
