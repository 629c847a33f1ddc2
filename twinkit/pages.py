"""The pages in their order: step -> file, and the question each answers."""

FILES = {
    "start": "00_start.ipynb", "power": "01_power_layout.ipynb", "wiring": "02_regulator_and_receiver.ipynb", "leads": "03_lead_lengths.ipynb",
    "weight": "04_pack_and_weight.ipynb", "wing": "05_wing.ipynb", "rudder": "06_rudder_and_trim.ipynb", "bench": "07_bench_and_first_flight.ipynb",
}
QUESTIONS = {
    "start": "What shall your aeroplane be, and what do you have to build it with?",
    "power": "Which power layout can you build, what does it do, and what is left when one thing breaks?",
    "wiring": "Is exactly one 5 V source on your receiver, and is everything else where it belongs?",
    "leads": "Where do your controllers live, and what does each lead cost you?",
    "weight": "Where does everything sit, does it balance, and how long does it fly?",
    "wing": "Does your wing carry this mass on this power, and can you cut it from your sheets?",
    "rudder": "Can you hold your aeroplane when one motor quits, or when the two are unequal?",
    "bench": "Do your motors do what was predicted, and is your aeroplane ready to fly?",
}
