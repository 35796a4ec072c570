# tests/reference/mido_messages.py
# Prints the messages that mido hears in a file of bytes, one a line, in hexadecimal.
import sys

try:
    import mido
except ImportError as error:
    print(error)
    sys.exit(77)

parser = mido.Parser()
with open(sys.argv[1], "rb") as file:
    parser.feed(file.read())
for message in parser:
    print(message.hex())
