"""Which of these is worth buying?"""
